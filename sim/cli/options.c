/* sim/cli/options.c - reads the options of a command by its table. */
#define _POSIX_C_SOURCE 200809L
#include <assert.h>
#include <getopt.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/cli.h"

enum { MOST_OPTIONS = 32, FIRST = 256 }; /* what getopt_long answers for the first option of a table */

bool cli_count(const char *text, int64_t most, int64_t *value)
{
    if (text[0] < '0' || text[0] > '9' || text[strspn(text, "0123456789.eE+")] != '\0')
        return false; /* strtod would take blanks, signs, hexadecimal and "nan" */
    char *end;
    const double number = strtod(text, &end);
    if (*end != '\0' || number < 1.0 || number > (double)most || number != (double)(int64_t)number)
        return false;
    *value = (int64_t)number;
    return true;
}

int cli_with_settings(int argc, char **argv, int (*command)(int argc, char **argv, cli_texts *settings))
{
    cli_texts settings = {calloc((size_t)argc + CLI_OWN_SETTINGS, sizeof *settings.text), 0};
    const int code = settings.text ? command(argc, argv, &settings)
                                   : cli_end(base_error(DRUPELET_MEMORY, "no memory left"));
    free(settings.text);
    return code;
}

/* CLI_GO, or the exit code of a value that does not fit. */
static int take(const char *command, const cli_option *o, const char *value)
{
    if (o->flag)
        *o->flag = true;
    else if (o->text)
        *o->text = value;
    else if (o->texts)
        o->texts->text[o->texts->n++] = value;
    if (o->texts && o->with_key && (value[0] == '=' || !strchr(value, '=')))
        return cli_bad_usage(command, "--%s: found '%s', expected KEY=VALUE", o->name, value);
    if (o->count && (!cli_count(value, o->most, o->count) || *o->count < o->least))
        return cli_bad_usage(command, "--%s: found '%s', expected a whole number from %.15g to %.15g", o->name, value,
                             o->least > 1 ? (double)o->least : 1.0, (double)o->most);
    return CLI_GO;
}

int cli_options(int argc, char **argv, const char *help, const cli_option *options)
{
    struct option known[MOST_OPTIONS + 2] = {{"help", no_argument, NULL, 'h'}};
    int output = -1;
    for (int i = 0; options[i].name; i++) {
        assert(i < MOST_OPTIONS);
        known[i + 1] = (struct option){options[i].name, options[i].flag ? no_argument : required_argument, NULL,
                                       FIRST + i};
        if (strcmp(options[i].name, "output") == 0)
            output = i;
    }
    for (int found; (found = getopt_long(argc, argv, output < 0 ? "h" : "o:h", known, NULL)) != -1;) {
        const int i = found == 'o' ? output : found - FIRST;
        if (found == 'h')
            return help ? cli_help(help) : CLI_DONE;
        const int code = i < 0 ? cli_bad_option(argv[0]) : take(argv[0], &options[i], optarg);
        if (code != CLI_GO)
            return code;
    }
    return CLI_GO;
}

const char *cli_output_of(const char *command, const char *named, const char *input, const char *extension,
                          char room[CLI_PATH])
{
    if (named || cli_output_name(input, extension, room))
        return named ? named : room;
    cli_bad_usage(command, "the name of the input is too long for one of the output: name one with --output");
    return NULL;
}
