/* sim/cli/sheet.h - what the commands that make a sheet share: units, and the forms in which it comes out. */
#ifndef CLI_SHEET_H
#define CLI_SHEET_H

#include "cli/cli.h"
#include "scenario/keys.h"
#include "sheet/sheet.h"
#include "sheet/typed.h"
#include "sprayer/sprayer.h"

typedef struct {
    const char *units, *paper, *output;
    bool json, force;
    sheet_system system; /* what follows from the words */
    sheet_paper on;
} cli_sheet;

/* Rows of a command's table of options, and their lines of its help. */
#define CLI_SHEET_OPTIONS(s)                                                                                           \
    {"units", .text = &(s)->units}, {"paper", .text = &(s)->paper}, {"output", .text = &(s)->output},                  \
        {"json", .flag = &(s)->json},                                                                                  \
    {                                                                                                                  \
        "force", .flag = &(s)->force                                                                                   \
    }
#define CLI_SHEET_HELP                                                                                                 \
    "      --units UNITS     metric (default) or us\n"                                                                 \
    "  -o, --output FILE     write a page to print (HTML), too\n"                                                      \
    "      --paper PAPER     of the page: a4 or letter; default: a4 with metric units, letter with us\n"               \
    "      --force           replace files that exist\n"                                                               \
    "      --json            print as JSON\n"                                                                          \
    "  -h, --help            print this text\n"

/** Reads the words of the options, and refuses an output that is no good.
 *  @param input names of the n files that the command reads; those that are NULL are passed over
 *  @return CLI_GO or the exit code */
int cli_sheet_check(const char *command, cli_sheet *options, int n, const char *const input[]);
/** Prints a sheet and writes its page; the sheet is ended. @param status of what went into it
 *  @return the exit code */
int cli_sheet_end(const cli_sheet *options, sheet *s, drupelet_status status);

/** Reads the value of an option by a key's line of the table (or one like it). Says what is wrong; false then. */
bool cli_read_quantity(const char *command, const char *option, const char *text, const scenario_key *key,
                       double *value);
/** Read the value of --area and of --dose. Say what is wrong; false then. */
bool cli_read_area(const char *command, const char *text, double *area_m2);
bool cli_read_dose(const char *command, const char *text, sheet_dose *dose);
/** Works out the sprayer of a scenario that has to drive. @param path of the scenario, for the message
 *  @return as of sprayer_work_out(), or DRUPELET_SCENARIO where it stands still */
drupelet_status cli_sheet_work(const char *path, const drupelet_scenario *scenario, sprayer_work *work);

#endif
