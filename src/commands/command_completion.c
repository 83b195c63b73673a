/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub completion: prints the script with which a shell completes commands, options and keys.
 */
#include "cli/command.h"
#include "cli/message.h"
#include "schema/schema.h"
#include "species/species.h"

#include <string.h>

/* Prints the keys and groups of `help scenario`, each name once. */
static bool is_earlier_key(enum wg_group_id group, const char *name) {
    for (int g = 0; g < (int)group; g++)
        if (wg_schema_find((enum wg_group_id)g, name) != NULL)
            return true;
    return false;
}

static void print_keys(void) {
    for (int g = 0; g < WG_N_GROUPS; g++)
        for (const struct wg_key *key = wg_schema_group((enum wg_group_id)g)->keys; key->name != NULL; key++)
            if (!is_earlier_key((enum wg_group_id)g, key->name))
                (void)printf(" %s", key->name);
}

static void print_number_names(void) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        (void)printf(" %s", p->name);
}

static void print_commands(void) {
    for (const struct wg_command *const *row = wg_commands(); *row != NULL; row++)
        (void)printf(" %s", (*row)->name);
}

static void print_options(const struct wg_command *command) {
    for (const struct wg_option *option = command->options; option->name != NULL; option++)
        (void)printf(" --%s", option->name);
    (void)fputs(" --help", stdout);
}

/* Prints the script of bash, with a branch of `case` for each command; zsh runs it too. */
static void print_bash(bool is_zsh) {
    (void)puts(is_zsh ? "#compdef wintergrub\nautoload -U +X bashcompinit && bashcompinit"
                      : "# bash completion of wintergrub");
    (void)fputs("_wintergrub() {\n"
                "  local word=${COMP_WORDS[COMP_CWORD]} words=\n"
                "  if [ \"$COMP_CWORD\" -eq 1 ]; then words=\"help --version --cite",
                stdout);
    print_commands();
    (void)fputs("\"\n"
                "  elif [ \"${COMP_WORDS[1]}\" = help ] && [ \"$COMP_CWORD\" -eq 2 ]; then words=\"scenario numbers",
                stdout);
    print_commands();
    (void)fputs("\"\n  elif [ \"${COMP_WORDS[1]} ${COMP_WORDS[2]}\" = 'help scenario' ]; then words=\"", stdout);
    print_keys();
    (void)fputs("\"\n  elif [ \"${COMP_WORDS[1]} ${COMP_WORDS[2]}\" = 'help numbers' ]; then words=\"", stdout);
    print_number_names();
    (void)fputs("\"\n  else\n    case ${COMP_WORDS[1]} in\n    completion) words='bash zsh fish' ;;\n", stdout);
    for (const struct wg_command *const *row = wg_commands(); *row != NULL; row++) {
        if ((*row)->options[0].name == NULL)
            continue;
        (void)printf("    %s) words=\"", (*row)->name);
        print_options(*row);
        (void)fputs("\" ;;\n", stdout);
    }
    (void)fputs("    esac\n"
                "    case $word in -*) ;; *) [ \"${COMP_WORDS[1]}\" = completion ] || words= ;; esac\n"
                "  fi\n"
                "  COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n"
                "}\n"
                "complete -o default -F _wintergrub wintergrub\n",
                stdout);
    if (is_zsh) /* the first completion loads this file as a function, and the second calls what it defines */
        (void)puts("if [ \"${funcstack[1]}\" = _wintergrub ]; then _bash_complete -o default -F _wintergrub; fi");
}

/* Prints a text in single quotes, escaped for fish. */
static void print_quoted(const char *text) {
    (void)putchar('\'');
    for (; *text != '\0'; text++) {
        if (*text == '\'' || *text == '\\')
            (void)putchar('\\');
        (void)putchar(*text);
    }
    (void)putchar('\'');
}

static void print_fish(void) {
    static const char rule[] = "complete -c wintergrub -n ";
    (void)puts("# fish completion of wintergrub");
    for (const struct wg_command *const *row = wg_commands(); *row != NULL; row++) {
        (void)printf("%s__fish_use_subcommand -f -a %s -d ", rule, (*row)->name);
        print_quoted((*row)->summary);
        (void)putchar('\n');
        for (const struct wg_option *option = (*row)->options; option->name != NULL; option++) {
            (void)printf("%s'__fish_seen_subcommand_from %s' -l %s%s -d ", rule, (*row)->name, option->name,
                         option->value != NULL ? " -r" : "");
            print_quoted(option->text);
            (void)putchar('\n');
        }
    }
    (void)printf("%s__fish_use_subcommand -f -a help -d 'how to use a command'\n", rule);
    (void)printf("%s'__fish_seen_subcommand_from help' -f -a 'scenario numbers", rule);
    print_commands();
    (void)printf("'\n%s'__fish_seen_subcommand_from scenario' -f -a '", rule);
    print_keys();
    (void)printf("'\n%s'__fish_seen_subcommand_from numbers' -f -a '", rule);
    print_number_names();
    (void)printf("'\n%s'__fish_seen_subcommand_from completion' -f -a 'bash zsh fish'\n", rule);
}

static int run_completion(const struct wg_args *args) {
    const char *const shell = args->argument[0];
    if (strcmp(shell, "bash") == 0)
        print_bash(false);
    else if (strcmp(shell, "zsh") == 0)
        print_bash(true);
    else if (strcmp(shell, "fish") == 0)
        print_fish();
    else
        return wg_message_usage(args->command, "the shell must be bash, zsh or fish, not \"%.40s\".", shell);
    return WG_STATUS_DONE;
}

static const struct wg_option options[] = {{NULL, 0, NULL, NULL, 0}};

const struct wg_command wg_command_completion = {
    .name = "completion",
    .arguments = "SHELL",
    .summary = "print completion for bash, zsh or fish",
    .help = "Prints the script with which a shell completes commands, options and keys:\n"
            "  bash  source <(wintergrub completion bash), in ~/.bashrc\n"
            "  zsh   wintergrub completion zsh > _wintergrub, in a folder of $fpath\n"
            "  fish  wintergrub completion fish \\\n"
            "          > ~/.config/fish/completions/wintergrub.fish",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_completion,
};
