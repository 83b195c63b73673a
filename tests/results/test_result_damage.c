/* Checks that files other than intact results are rejected, each with one sentence. */
#include "results/hand_made.h"
#include "storage/provenance.h"
#include "storage/seal.h"
#include "storage/sha256.h"

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

static void refuses(int code, const char *words) {
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

Test(result_damage, of_a_missing_file) {
    refuses(WG_ERR_FILE, "No such file");
}

Test(result_damage, of_a_folder) {
    strcpy(it.path, it.folder);
    refuses(WG_ERR_FILE, "not an ordinary file");
}

Test(result_damage, of_a_pipe_does_not_wait) {
    cr_assert_eq(mkfifo(it.path, 0600), 0);
    refuses(WG_ERR_FILE, "not an ordinary file");
}

Test(result_damage, of_an_empty_file) {
    put_bytes(it.path, "", 0);
    refuses(WG_ERR_FORMAT, "empty");
}

Test(result_damage, of_a_text_file) {
    put_bytes(it.path, hand_made_text, strlen(hand_made_text));
    refuses(WG_ERR_FORMAT, "not an HDF5 file");
}

/* Truncated to each length: no crash, no success. */
Test(result_damage, of_a_file_cut_short) {
    size_t size;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &hand_made_provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    for (size_t keep = 1; keep < 8; keep++) {
        put_bytes(it.path, bytes, keep);
        refuses(WG_ERR_FORMAT, "not an HDF5 file");
    }
    for (size_t keep = 8; keep < size; keep += 4999) {
        put_bytes(it.path, bytes, keep);
        refuses(WG_ERR_FORMAT, "truncated");
    }
    for (size_t missing = 1; missing <= WG_SEAL_SIZE; missing += 41) {
        put_bytes(it.path, bytes, size - missing);
        refuses(WG_ERR_FORMAT, "the checksum at its end is missing");
    }
    free(bytes);
}

/* HDF5 1.10.8 crashes or hangs on some of these; they must not reach it. */
Test(result_damage, of_any_single_byte, .timeout = 200) {
    size_t size;
    uint64_t dice = 20261125;
    struct wg_provenance provenance = hand_made_provenance;
    provenance.replicates = 2;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    const int fd = open(it.path, O_WRONLY);
    for (int i = 0; i < 500; i++) {
        dice = dice * 6364136223846793005u + 1442695040888963407u; /* Knuth's MMIX generator */
        const size_t at = 8 + (size_t)(dice >> 33) % (size - WG_SEAL_SIZE - 8);
        const char changed = (char)(bytes[at] ^ (1 << (dice >> 29 & 7)));
        cr_assert_eq(pwrite(fd, &changed, 1, (off_t)at), 1);
        refuses(WG_ERR_FORMAT, "is damaged: its checksum (SHA-256) does not match");
        cr_assert_eq(pwrite(fd, &bytes[at], 1, (off_t)at), 1);
    }
    close(fd);
    cr_assert_eq(hand_made_read(&it.back, it.path, &it.err), 0, "mended, it is read");
    hand_made_read_free(&it.back);
    free(bytes);
}

Test(result_damage, of_its_last_line) {
    size_t size;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &hand_made_provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    cr_assert_eq(strncmp(bytes + size - WG_SEAL_SIZE, "wintergrub sha256 ", 18), 0, "the documented words");
    bytes[size - 2] = bytes[size - 2] == '0' ? '1' : '0';
    put_bytes(it.path, bytes, size);
    refuses(WG_ERR_FORMAT, "is damaged");
    put_bytes(it.path, bytes, size + 1); /* and the NUL from bytes_of() */
    refuses(WG_ERR_FORMAT, "checksum at its end is missing");
    free(bytes);
}

/* Without the checksum line, as from an older version or another program. */
Test(result_damage, of_a_whole_hdf5_file_without_its_last_line) {
    size_t size;
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &hand_made_provenance, NULL, &it.err), 0);
    char *const bytes = bytes_of(it.path, &size);
    put_bytes(it.path, bytes, size - WG_SEAL_SIZE);
    refuses(WG_ERR_FORMAT, "an older wintergrub");
    free(bytes);
}

/* ---- other HDF5 files and formats ---- */

struct recipe {
    int group, format; /* format < 0: no such attribute */
    const char *scenario, *digest;
    int numbers;
};

static void cook(const struct recipe *recipe) {
    struct wg_h5 *file;
    const int fd = open(it.path, O_RDWR | O_CREAT | O_TRUNC, 0644);
    cr_assert(fd >= 0);
    cr_assert_eq(wg_h5_create(&file, fd, it.path, &it.err), 0);
    if (recipe->group)
        wg_h5_group(file, WG_PROVENANCE);
    if (recipe->format >= 0)
        wg_h5_attribute_number(file, WG_ATTRIBUTE_FORMAT, (uint64_t)recipe->format);
    if (recipe->numbers) {
        wg_h5_attribute_number(file, WG_ATTRIBUTE_SEED, 1);
        wg_h5_attribute_number(file, WG_ATTRIBUTE_REPLICATES, 1);
        wg_h5_attribute(file, -1, WG_ATTRIBUTE_VERSION, "0");
        wg_h5_attribute(file, -1, WG_ATTRIBUTE_SCENARIO_PATH, "a.yaml");
    }
    if (recipe->digest != NULL)
        wg_h5_attribute(file, -1, WG_ATTRIBUTE_SCENARIO_SHA256, recipe->digest);
    if (recipe->scenario != NULL) {
        const struct wg_h5_variable text = {.name = WG_TEXT_SCENARIO, .unit = "1", .text = "", .kind = WG_H5_STRING};
        wg_h5_write(file, wg_h5_variable(file, &text), &recipe->scenario);
    }
    cr_assert_eq(wg_h5_finish(file, &it.err), 0, "%s", it.err.text);
    close(fd);
}

Test(result_damage, of_a_foreign_hdf5_file) {
    cook(&(struct recipe){.format = -1});
    refuses(WG_ERR_FORMAT, "not a result of wintergrub");
    cook(&(struct recipe){.group = 1, .format = -1, .numbers = 1});
    refuses(WG_ERR_FORMAT, "not a result of wintergrub");
}

Test(result_damage, of_an_older_format) {
    cook(&(struct recipe){.group = 1, .format = WG_RESULT_FORMAT - 1});
    refuses(WG_ERR_FORMAT, "older format");
}

Test(result_damage, of_a_newer_format) {
    cook(&(struct recipe){.group = 1, .format = WG_RESULT_FORMAT + 1});
    refuses(WG_ERR_FORMAT, "newer wintergrub");
}

Test(result_damage, of_a_result_without_its_notes) {
    cook(&(struct recipe){.group = 1, .format = WG_RESULT_FORMAT});
    refuses(WG_ERR_FORMAT, "its seed cannot be read");
    cook(&(struct recipe){.group = 1, .format = WG_RESULT_FORMAT, .numbers = 1});
    refuses(WG_ERR_FORMAT, "its scenario cannot be read");
}

Test(result_damage, of_a_scenario_changed_afterwards) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256("title: x\n", 9, digest);
    struct recipe recipe = {
        .group = 1, .format = WG_RESULT_FORMAT, .numbers = 1, .scenario = "title: x\n", .digest = digest};
    cook(&recipe);
    cr_assert_eq(hand_made_read(&it.back, it.path, &it.err), 0, "the honest one passes: %s", it.err.text);
    hand_made_read_free(&it.back);
    recipe.scenario = "title: y\n";
    cook(&recipe);
    refuses(WG_ERR_FORMAT, "changed after it was made");
}

/* FIPS 180-4 example: SHA-256 of "abc"; and of nothing (NIST CAVP SHA256ShortMsg, Len = 0). */
Test(result_damage, digest_is_sha_256) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256("abc", 3, digest);
    cr_assert_str_eq(digest, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    wg_sha256(NULL, 0, digest);
    cr_assert_str_eq(digest, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}
