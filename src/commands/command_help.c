/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub help: prints help on the commands, one command, the keys of a scenario, or the numbers of the model.
 */
#include "cli/command.h"
#include "cli/message.h"
#include "schema/schema.h"
#include "text/show.h"

#include <stdlib.h>
#include <string.h>

#define CONTINUED 19 /* indentation after the names of groups */

/* A page in memory; its long lines are wrapped when it is printed. */
struct help_page {
    FILE *to;
    char *text;
    size_t size;
};

static int print_page(struct help_page *page, int indent) {
    const bool failed = page->to == NULL || fclose(page->to) != 0;
    if (!failed)
        wg_show_lines(stdout, indent, page->text);
    free(page->text);
    return failed ? wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY}) : WG_STATUS_DONE;
}

static int not_found(const char *kind, const char *word, const char *nearest) {
    if (nearest != NULL)
        return wg_message_usage(NULL, "there is no %s \"%.60s\"; did you mean %s?", kind, word, nearest);
    return wg_message_usage(NULL, "there is no %s \"%.60s\".", kind, word);
}

static int help_scenario(const char *name) {
    struct help_page page = {.to = NULL};
    if (name != NULL && strcmp(name, "--markdown") == 0) {
        wg_schema_print_markdown(stdout);
        return WG_STATUS_DONE;
    }
    page.to = open_memstream(&page.text, &page.size);
    int n = 1;
    if (page.to != NULL && name == NULL)
        wg_schema_print_groups(page.to);
    else if (page.to != NULL)
        n = wg_schema_print_key(page.to, name);
    const int status = print_page(&page, name == NULL ? CONTINUED : 4); /* empty if no key was found */
    return n > 0 ? status : not_found("key", name, wg_schema_nearest(name));
}

static int help_numbers(const char *word) {
    struct help_page page = {.to = NULL};
    page.to = open_memstream(&page.text, &page.size);
    int n = 1;
    if (page.to != NULL) {
        (void)fputs("The numbers of the model, each a key of species in a scenario.\n", page.to);
        (void)fputs(word == NULL ? "For details: wintergrub help numbers WORD.\n\n" : "", page.to);
        n = wg_numbers_print(page.to, word);
    }
    if (n == 0) {
        (void)fclose(page.to);
        free(page.text);
        return not_found("number", word, wg_numbers_nearest(word));
    }
    return print_page(&page, word == NULL ? 27 : 4);
}

bool wg_help_topic(const char *topic, int n, char **words, int *status) {
    const bool is_scenario = strcmp(topic, "scenario") == 0;
    if (!is_scenario && strcmp(topic, "numbers") != 0)
        return false;
    if (n > 1)
        *status = wg_message_usage(NULL, "\"%s\" is one argument too many.", words[1]);
    else
        *status = (is_scenario ? help_scenario : help_numbers)(n > 0 ? words[0] : NULL);
    return true;
}
