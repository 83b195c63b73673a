/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The reference temperature of ages and waiting times (private to species).
 *
 * 27 degC is the temperature of most rearing rooms in the literature used here
 * (Tomberlin, Sheppard & Joyce 2002, Ann. Entomol. Soc. Am. 95:379, and others).
 */
#ifndef WG_SPECIES_REFERENCE_H
#define WG_SPECIES_REFERENCE_H

#define WG_REFERENCE_C 27.0

#endif
