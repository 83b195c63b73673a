/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Checks that the reader rejects everything but intact results, each with one sentence. */
#include "results/hand_made.h"
#include "storage/provenance.h"
#include "storage/seal.h"

#include <fcntl.h>

struct case_ {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct hand_made_read back;
    struct wg_error err;
} it;

static void begin(void) {
    memset(&it, 0, sizeof it);
    hand_made_scenario(&it.scenario);
    fresh_folder(it.folder);
    (void)snprintf(it.path, sizeof it.path, "%s/a.h5", it.folder);
}

static void end(void) {
    clear_folder(it.folder);
    hand_made_scenario_free(&it.scenario);
}

TestSuite(result_damage, .init = begin, .fini = end);

static void expect_rejected(int code, const char *words) {
    char what[64];
    it.err.code = 0;
    cr_assert_eq(hand_made_read(&it.back, it.path, &it.err), code, "%s", it.err.text);
    cr_assert_not_null(strstr(it.err.text, words), "%s", it.err.text);
    cr_assert_null(strchr(it.err.text, '\n'));
    cr_assert_str_eq(it.err.where, it.path);
    cr_assert_null(it.back.inputs.scenario_text);
    it.err.code = 0;
    cr_assert(hand_made_compare(it.path, it.path, what, sizeof what, &it.err) <= 0);
}

Test(result_damage, missing_file) {
    expect_rejected(WG_ERR_FILE, "No such file");
}

Test(result_damage, folder) {
    strcpy(it.path, it.folder);
    expect_rejected(WG_ERR_FILE, "not an ordinary file");
}

Test(result_damage, pipe_does_not_block) {
    cr_assert_eq(mkfifo(it.path, 0600), 0);
    expect_rejected(WG_ERR_FILE, "not an ordinary file");
}

Test(result_damage, empty_file) {
    put_bytes(it.path, "", 0);
    expect_rejected(WG_ERR_FORMAT, "empty");
}

Test(result_damage, text_file) {
    put_bytes(it.path, hand_made_text, strlen(hand_made_text));
    expect_rejected(WG_ERR_FORMAT, "not an HDF5 file");
}

/* No length is read, none crashes the reader. */
Test(result_damage, truncated_file) {
    size_t size;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &hand_made_provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    for (size_t keep = 1; keep < 8; keep++) {
        put_bytes(it.path, bytes, keep);
        expect_rejected(WG_ERR_FORMAT, "not an HDF5 file");
    }
    for (size_t keep = 8; keep < size; keep += 4999) {
        put_bytes(it.path, bytes, keep);
        expect_rejected(WG_ERR_FORMAT, "truncated");
    }
    for (size_t missing = 1; missing <= WG_SEAL_SIZE; missing += 41) {
        put_bytes(it.path, bytes, size - missing);
        expect_rejected(WG_ERR_FORMAT,
                        missing < WG_SEAL_SIZE ? "the checksum at its end is missing" : "wintergrub seal");
    }
    free(bytes);
}

/* HDF5 1.10.8 crashes or hangs on some of these files: the checksum must reject them first. */
Test(result_damage, any_flipped_bit, .timeout = 200) {
    size_t size;
    uint64_t state = 20261125;
    struct wg_provenance provenance = hand_made_provenance;
    provenance.replicates = 2;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    const int fd = open(it.path, O_WRONLY);
    for (int i = 0; i < 500; i++) {
        state = state * 6364136223846793005u + 1442695040888963407u; /* Knuth's MMIX generator */
        const size_t at = 8 + (size_t)(state >> 33) % (size - WG_SEAL_SIZE - 8);
        const char changed = (char)(bytes[at] ^ (1 << (state >> 29 & 7)));
        cr_assert_eq(pwrite(fd, &changed, 1, (off_t)at), 1);
        expect_rejected(WG_ERR_FORMAT, "is damaged: its checksum (SHA-256) does not match");
        cr_assert_eq(pwrite(fd, &bytes[at], 1, (off_t)at), 1);
    }
    close(fd);
    cr_assert_eq(hand_made_read(&it.back, it.path, &it.err), 0, "the restored file is read");
    hand_made_read_free(&it.back);
    free(bytes);
}

Test(result_damage, changed_checksum_line) {
    size_t size;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &hand_made_provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    cr_assert_eq(strncmp(bytes + size - WG_SEAL_SIZE, "wintergrub sha256 ", 18), 0, "the documented line");
    put_bytes(it.path, bytes, size + 1); /* and the NUL from bytes_of() */
    expect_rejected(WG_ERR_FORMAT, "checksum at its end is missing");
    for (size_t at = size - WG_SEAL_SIZE; at < size; at++) {
        bytes[at] = (char)(bytes[at] ^ 1);
        put_bytes(it.path, bytes, size);
        expect_rejected(WG_ERR_FORMAT, "damaged");
        bytes[at] = (char)(bytes[at] ^ 1);
    }
    free(bytes);
}

/* As another program leaves it. */
Test(result_damage, missing_checksum_line) {
    size_t size;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &hand_made_provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    put_bytes(it.path, bytes, size - WG_SEAL_SIZE);
    expect_rejected(WG_ERR_FORMAT, "Another program has opened this file for writing since");
    free(bytes);
}

/* ---- other HDF5 files and formats ---- */

struct foreign {
    int group, format; /* format < 0: no such attribute */
    const char *scenario, *digest;
    int numbers;
};

static void write_foreign(const struct foreign *foreign) {
    struct wg_h5 *file;
    const int fd = open(it.path, O_RDWR | O_CREAT | O_TRUNC, 0644);
    cr_assert(fd >= 0);
    cr_assert_eq(wg_h5_create(&file, fd, it.path, &it.err), 0);
    if (foreign->group)
        wg_h5_group(file, WG_PROVENANCE);
    if (foreign->format >= 0)
        wg_h5_attribute_number(file, WG_ATTRIBUTE_FORMAT, (uint64_t)foreign->format);
    if (foreign->numbers) {
        wg_h5_attribute_number(file, WG_ATTRIBUTE_SEED, 1);
        wg_h5_attribute_number(file, WG_ATTRIBUTE_REPLICATES, 1);
        wg_h5_attribute(file, -1, WG_ATTRIBUTE_VERSION, "0");
        wg_h5_attribute(file, -1, WG_ATTRIBUTE_SCENARIO_PATH, "a.yaml");
    }
    if (foreign->digest != NULL)
        wg_h5_attribute(file, -1, WG_ATTRIBUTE_SCENARIO_SHA256, foreign->digest);
    if (foreign->scenario != NULL) {
        const struct wg_h5_variable text = {.name = WG_TEXT_SCENARIO, .unit = "1", .text = "", .kind = WG_H5_STRING};
        wg_h5_write(file, wg_h5_variable(file, &text), &foreign->scenario);
    }
    cr_assert_eq(wg_h5_finish(file, &it.err), 0, "%s", it.err.text);
    close(fd);
}

Test(result_damage, foreign_hdf5_file) {
    write_foreign(&(struct foreign){.format = -1});
    expect_rejected(WG_ERR_FORMAT, "not a result of wintergrub");
    write_foreign(&(struct foreign){.group = 1, .format = -1, .numbers = 1});
    expect_rejected(WG_ERR_FORMAT, "not a result of wintergrub");
}

Test(result_damage, older_format) {
    write_foreign(&(struct foreign){.group = 1, .format = WG_RESULT_FORMAT - 1});
    expect_rejected(WG_ERR_FORMAT, "older format");
}

Test(result_damage, newer_format) {
    write_foreign(&(struct foreign){.group = 1, .format = WG_RESULT_FORMAT + 1});
    expect_rejected(WG_ERR_FORMAT, "newer wintergrub");
}

Test(result_damage, missing_attributes) {
    write_foreign(&(struct foreign){.group = 1, .format = WG_RESULT_FORMAT});
    expect_rejected(WG_ERR_FORMAT, "its seed cannot be read");
    write_foreign(&(struct foreign){.group = 1, .format = WG_RESULT_FORMAT, .numbers = 1});
    expect_rejected(WG_ERR_FORMAT, "its scenario cannot be read");
}

Test(result_damage, scenario_changed_afterwards) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256("title: x\n", 9, digest);
    struct foreign foreign = {
        .group = 1, .format = WG_RESULT_FORMAT, .numbers = 1, .scenario = "title: x\n", .digest = digest};
    write_foreign(&foreign);
    cr_assert_eq(hand_made_read(&it.back, it.path, &it.err), 0, "the unchanged scenario is read: %s", it.err.text);
    hand_made_read_free(&it.back);
    foreign.scenario = "title: y\n";
    write_foreign(&foreign);
    expect_rejected(WG_ERR_FORMAT, "changed after it was made");
}

/* SHA-256 of "abc" (example of FIPS 180-4) and of no bytes (NIST CAVP SHA256ShortMsg, Len = 0). */
Test(result_damage, sha_256_examples) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256("abc", 3, digest);
    cr_assert_str_eq(digest, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    wg_sha256(NULL, 0, digest);
    cr_assert_str_eq(digest, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

/* The library nettle is the reference, at every length around the ends of one and two blocks. */
Test(result_damage, sha_256_of_every_length) {
    char text[140], ours[WG_SHA256_TEXT_SIZE], nettle[WG_SHA256_TEXT_SIZE];
    FILE *const file = tmpfile();
    cr_assert_not_null(file);
    for (size_t n = 0; n < sizeof text; n++) {
        text[n] = (char)(n * 37 % 251);
        cr_assert_eq(fwrite(&text[n], 1, 1, file), 1u);
        cr_assert_eq(fflush(file), 0);
        wg_sha256(text, n + 1, ours);
        cr_assert_eq(wg_sha256_file(fileno(file), (off_t)(n + 1), nettle), 0);
        cr_expect_str_eq(ours, nettle, "%zu bytes", n + 1);
    }
    fclose(file);
}
