/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The findings that the truth table and the calibration share: tests/verify/findings.tsv.
 */
#ifndef WG_TESTS_CALIBRATION_FINDINGS_H
#define WG_TESTS_CALIBRATION_FINDINGS_H

enum finding_scale { FINDING_PLAIN, FINDING_LN, FINDING_LOGIT, FINDING_LN_HAZARD };
enum finding_side { FINDING_BOTH, FINDING_AT_MOST, FINDING_AT_LEAST };

enum { MAX_FINDINGS = 128, MAX_MODES = 2 };

/** A finding that the calibration uses; values are on the finding's scale. */
struct finding {
    char key[40], what[160], source[300], said[80];
    enum finding_scale scale;
    enum finding_side side;
    int n_modes; /* 2: papers contradict each other, and either may be right */
    double mode[MAX_MODES], error;
    int seasonal; /* 1: found by simulation, 0: in closed form */
    char scale_name[16], side_name[16];
};

struct findings {
    int n;
    struct finding row[MAX_FINDINGS];
};

/** Reads the rows with a calibration value; exits with a message at a fault of the file. */
void findings_read(struct findings *findings, const char *path);
/** Converts a quantity (a share, days, ...) to the finding's scale. */
double finding_scaled(const struct finding *finding, double quantity);
/** Errors between the finding and a scaled value; 0 on the allowed side. Of two modes the nearer. */
double finding_pull(const struct finding *finding, double scaled);
/** Log likelihood of a scaled value: 0 where it agrees. */
double finding_log_likelihood(const struct finding *finding, double scaled);

#endif
