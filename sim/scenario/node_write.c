/* sim/scenario/node_write.c - writes a tree as YAML. A value is put in quotes where it stood in quotes, and where it
 * has a character that could mean something to YAML. */
#include "scenario/node_write.h"

#include <string.h>

/* A letter, a digit or a byte of UTF-8. */
static bool is_letter(unsigned char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c >= 0x80;
}

/* Means the same without quotes: begins as a word or a number does, and has no sign that means something inside. */
static bool is_plain(const char *text)
{
    const size_t n = strlen(text);
    const bool below_0 = n > 1 && text[0] == '-' && strspn(text + 1, "0123456789.") > 0;
    if (n == 0 || text[n - 1] == ' ' || (!is_letter((unsigned char)text[0]) && !below_0)) return false;
    for (const char *c = text; *c != '\0'; c++)
        if (!is_letter((unsigned char)*c) && !strchr(" ._/%+^()-", *c)) return false;
    return true;
}

static void write_value(const scenario_node *node, FILE *to)
{
    if (!node->quoted && (is_plain(node->text) || node->text[0] == '\0')) { /* nothing stays nothing */
        fputs(node->text, to);
        return;
    }
    fputc('"', to);
    for (const unsigned char *c = (const unsigned char *)node->text; *c != '\0'; c++) {
        if (*c == '"' || *c == '\\')
            fprintf(to, "\\%c", *c);
        else if (*c < 0x20 || *c == 0x7f)
            fprintf(to, "\\x%02x", *c);
        else
            fputc(*c, to);
    }
    fputc('"', to);
}

static void write_key(const scenario_node *node, FILE *to)
{
    const scenario_node key = {.text = node->key}; /* names of tips may have any character */
    write_value(&key, to);
    fputc(':', to);
}

void scenario_node_write_flow(const scenario_node *node, FILE *to)
{
    if (node->kind == SCENARIO_VALUE) {
        write_value(node, to);
        return;
    }
    fputc(node->kind == SCENARIO_GROUP ? '{' : '[', to);
    for (const scenario_node *child = node->first; child; child = child->next) {
        if (child->key) {
            write_key(child, to);
            fputc(' ', to);
        }
        scenario_node_write_flow(child, to);
        if (child->next) fputs(", ", to);
    }
    fputc(node->kind == SCENARIO_GROUP ? '}' : ']', to);
}

/* Has the list a group or a list in it? */
static bool is_deep(const scenario_node *list)
{
    for (const scenario_node *child = list->first; child; child = child->next)
        if (child->kind != SCENARIO_VALUE) return true;
    return false;
}

static void write_below(const scenario_node *group, int indent, FILE *to)
{
    for (const scenario_node *child = group->first; child; child = child->next) {
        fprintf(to, "%*s", indent, "");
        write_key(child, to);
        if (child->kind == SCENARIO_GROUP && child->first) {
            fputc('\n', to);
            write_below(child, indent + 2, to);
        } else if (child->kind == SCENARIO_LIST && is_deep(child)) {
            fputc('\n', to);
            for (const scenario_node *entry = child->first; entry; entry = entry->next) {
                fprintf(to, "%*s- ", indent + 2, "");
                scenario_node_write_flow(entry, to);
                fputc('\n', to);
            }
        } else {
            if (child->kind != SCENARIO_VALUE || child->quoted || child->text[0] != '\0') fputc(' ', to);
            scenario_node_write_flow(child, to);
            fputc('\n', to);
        }
    }
}

void scenario_node_write(const scenario_node *root, FILE *to)
{
    if (root->kind == SCENARIO_GROUP) {
        write_below(root, 0, to);
        return;
    }
    scenario_node_write_flow(root, to);
    fputc('\n', to);
}
