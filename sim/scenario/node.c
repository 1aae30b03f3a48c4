/* sim/scenario/node.c - the YAML file as a tree, overrides on it, and the messages that point into it.
 *
 * The tree is made from libyaml's events, not from its document, since the document no longer shows anchors and
 * tags. All values stay text: the reader decides what is a number. Left out: all of YAML that a scenario has no use
 * for. */
#define _POSIX_C_SOURCE 200809L
#include "scenario/node.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "base/status.h"

enum { EXPECTED = 320 }; /* bytes of what a message expects, with the end */

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the scenario");
}

/* ---- text for messages ---- */

/* Copies text so that it stays on one line: control characters become blanks, and what is too long is cut between
 * characters. */
static void put_one_line(char *out, size_t room, const char *text)
{
    static const char cut[] = "...";
    size_t n = strlen(text);
    const bool too_long = n >= room;
    if (too_long) {
        n = room - sizeof cut;
        while (n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80) /* not inside a UTF-8 character */
            n--;
    }
    for (size_t i = 0; i < n; i++)
        out[i] = (unsigned char)text[i] < 0x20 || text[i] == 0x7F ? ' ' : text[i];
    memcpy(out + n, too_long ? cut : "", too_long ? sizeof cut : 1);
}

static int number_in_list(const scenario_node *node)
{
    int i = 0;
    for (const scenario_node *other = node->parent->first; other != node; other = other->next)
        i++;
    return i;
}

void scenario_node_path(const scenario_node *node, const char *below, bool general, char path[SCENARIO_PATH])
{
    const scenario_node *way[2 * SCENARIO_NODE_DEPTH + 2];
    int n = 0;
    for (; node->parent && n < (int)(sizeof way / sizeof way[0]); node = node->parent)
        way[n++] = node;
    char whole[4 * SCENARIO_PATH] = "";
    size_t used = 0;
    for (int i = n - 1; i >= -1; i--) {
        char number[16];
        const char *part = below;
        if (i >= 0) {
            const bool in_list = way[i]->parent->kind == SCENARIO_LIST;
            const bool named = i == n - 2 && way[n - 1]->key && strcmp(way[n - 1]->key, "tips") == 0;
            snprintf(number, sizeof number, "%d", in_list ? number_in_list(way[i]) : 0);
            part = general && (in_list || named) ? "*" : in_list ? number : way[i]->key;
        }
        if (part && used < sizeof whole)
            used += (size_t)snprintf(whole + used, sizeof whole - used, "%s%s", used > 0 ? "." : "", part);
    }
    put_one_line(path, SCENARIO_PATH, whole);
}

bool scenario_node_empty(const scenario_node *node)
{
    return node->kind == SCENARIO_VALUE && node->text[0] == '\0' && !node->quoted;
}

void scenario_node_found(const scenario_node *node, char found[SCENARIO_FOUND])
{
    const char *text = node->text;
    if (node->kind == SCENARIO_GROUP)
        text = "a group of keys";
    else if (node->kind == SCENARIO_LIST)
        text = "a list";
    else if (scenario_node_empty(node))
        text = "nothing";
    else if (text[0] == '\0')
        text = "an empty text";
    put_one_line(found, SCENARIO_FOUND, text);
}

/* Where in the file or in which setting, with ": " behind. A long folder is cut so that room is left for the rest. */
static void put_place(char *out, size_t room, const scenario_node *node, int line, int column)
{
    if (node->setting) {
        char shown[2 * SCENARIO_FOUND];
        put_one_line(shown, sizeof shown, node->setting);
        snprintf(out, room, "--set %s: ", shown);
        return;
    }
    enum { MOST = 160 };
    const size_t n = strlen(node->file);
    const char *tail = n > MOST ? node->file + (n - MOST) : node->file;
    if (line > 0)
        snprintf(out, room, "%s%s:%d:%d: ", n > MOST ? "..." : "", tail, line, column);
    else
        snprintf(out, room, "%s%s: ", n > MOST ? "..." : "", tail);
}

void scenario_node_place(const scenario_node *node, char *place, size_t room)
{
    put_place(place, room, node, node->line, node->column);
}

static drupelet_status error_at(const scenario_node *node, int line, int column, const char *below, const char *found,
                                const char *expected)
{
    char place[256], path[SCENARIO_PATH], stands[SCENARIO_FOUND] = "nothing";
    put_place(place, sizeof place, node, line, column);
    scenario_node_path(node, below, false, path);
    if (!found && !below)
        scenario_node_found(node, stands);
    return base_error(DRUPELET_SCENARIO, "%s%s%sfound %s, expected %s", place, path, path[0] ? ": " : "",
                      found ? found : stands, expected);
}

drupelet_status scenario_node_error(const scenario_node *node, const char *below, const char *found, const char *format,
                                    ...)
{
    char expected[EXPECTED];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(expected, sizeof expected, format, arguments);
    va_end(arguments);
    return error_at(node, node->line, node->column, below, found, expected);
}

drupelet_status scenario_key_error(const scenario_node *node, const char *found, const char *format, ...)
{
    char expected[EXPECTED];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(expected, sizeof expected, format, arguments);
    va_end(arguments);
    return error_at(node, node->key_line, node->key_column, NULL, found, expected);
}

/* ---- the tree ---- */

static scenario_node *node_create(scenario_node_kind kind, const char *key, const char *text)
{
    scenario_node *node = calloc(1, sizeof *node);
    if (!node)
        return NULL;
    node->kind = kind;
    node->key = key ? strdup(key) : NULL;
    node->text = text ? strdup(text) : NULL;
    if ((key && !node->key) || (text && !node->text)) {
        scenario_node_free(node);
        return NULL;
    }
    return node;
}

static void free_below(scenario_node *node)
{
    for (scenario_node *child = node->first, *next; child; child = next) {
        next = child->next;
        scenario_node_free(child);
    }
    node->first = node->last = NULL;
    node->n = 0;
}

void scenario_node_free(scenario_node *node)
{
    if (!node)
        return;
    free_below(node); /* no deeper than twice SCENARIO_NODE_DEPTH */
    free(node->key);
    free(node->text);
    free(node);
}

/* A node that the program makes stands where another one does. */
static void stand_at(scenario_node *node, const scenario_node *at)
{
    node->file = at->file;
    node->setting = at->setting;
    node->line = node->key_line = at->line;
    node->column = node->key_column = at->column;
}

static void append(scenario_node *parent, scenario_node *node)
{
    node->parent = parent;
    *(parent->last ? &parent->last->next : &parent->first) = node;
    parent->last = node;
    parent->n++;
}

scenario_node *scenario_node_find(const scenario_node *group, const char *key)
{
    if (group->kind != SCENARIO_GROUP)
        return NULL;
    for (scenario_node *child = group->first; child; child = child->next)
        if (strcmp(child->key, key) == 0)
            return child;
    return NULL;
}

static void make_group(scenario_node *node)
{
    free(node->text);
    node->text = NULL;
    node->kind = SCENARIO_GROUP;
}

scenario_node *scenario_node_group(scenario_node *parent, const char *key)
{
    scenario_node *node = scenario_node_find(parent, key);
    if (node && scenario_node_empty(node))
        make_group(node);
    if (node)
        return node;
    node = node_create(SCENARIO_GROUP, key, NULL);
    if (!node)
        return NULL;
    stand_at(node, parent);
    append(parent, node);
    return node;
}

scenario_node *scenario_node_create(const char *file)
{
    scenario_node *node = node_create(SCENARIO_VALUE, NULL, "");
    if (node)
        node->file = file;
    return node;
}

scenario_node *scenario_node_append(scenario_node *parent, const char *key)
{
    scenario_node *node = node_create(SCENARIO_VALUE, key, "");
    if (!node)
        return NULL;
    stand_at(node, parent);
    append(parent, node);
    return node;
}

bool scenario_node_fill(scenario_node *node, scenario_node_kind kind, const char *text, bool quoted)
{
    free(node->text);
    node->text = text ? strdup(text) : NULL;
    node->kind = kind;
    node->quoted = quoted;
    return !text || node->text;
}

/* ---- from YAML ---- */

typedef struct {
    const char *file, *setting, *text;
    size_t n_bytes;
    scenario_node *root;   /* of what is read; given for a setting: the place that takes it */
    scenario_node *parent; /* the open group or list; NULL before the first node and after the last */
    char *key;             /* of the next value of a group; NULL: a key comes next */
    int key_line, key_column, depth;
    int most;              /* entries of a list; 0: SCENARIO_NODE_CHILDREN */
    bool begun, done;      /* the first node has been taken; a document has ended */
} loader;

/* A fault at a place where there is no node yet. */
static drupelet_status fault(const loader *l, yaml_mark_t mark, const char *found, const char *expected)
{
    const scenario_node nowhere = {.file = l->file, .setting = l->setting};
    const scenario_node *node = l->parent ? l->parent : l->root ? l->root : &nowhere;
    return error_at(node, (int)mark.line + 1, (int)mark.column + 1, l->key, found, expected);
}

/* True if a tab stands before or at the first other character of the line, where YAML allows none. */
static bool line_starts_with_tab(const loader *l, size_t line)
{
    size_t i = 0;
    for (; line > 0 && i < l->n_bytes; i++)
        line -= l->text[i] == '\n';
    while (i < l->n_bytes && l->text[i] == ' ')
        i++;
    return i < l->n_bytes && l->text[i] == '\t';
}

/* Line and column of a byte, for faults of the encoding. */
static yaml_mark_t mark_of_byte(const loader *l, size_t offset)
{
    yaml_mark_t mark = {0};
    for (size_t i = 0; i < offset && i < l->n_bytes; i++) {
        const bool new_line = l->text[i] == '\n';
        mark.line += new_line;
        mark.column = new_line ? 0 : mark.column + (((unsigned char)l->text[i] & 0xC0) != 0x80);
    }
    return mark;
}

static drupelet_status syntax_error(const loader *l, const yaml_parser_t *parser)
{
    if (parser->error == YAML_MEMORY_ERROR)
        return no_memory();
    loader whole = *l; /* which key it belongs to is a guess: line and column must do */
    whole.key = NULL;
    whole.parent = NULL;
    if (!l->setting)
        whole.root = NULL;
    char found[160];
    if (parser->error == YAML_READER_ERROR) {
        snprintf(found, sizeof found, "a byte that is no text (%s)", parser->problem);
        return fault(&whole, mark_of_byte(l, parser->problem_offset), found, "UTF-8 text");
    }
    char begins[48] = "";
    if (!l->setting && parser->context && parser->context_mark.line != parser->problem_mark.line)
        snprintf(begins, sizeof begins, ", for what begins on line %d", (int)parser->context_mark.line + 1);
    snprintf(found, sizeof found, "text that is no YAML (%s%s)", parser->problem ? parser->problem : "unknown", begins);
    const bool tab = line_starts_with_tab(l, parser->problem_mark.line);
    return fault(&whole, parser->problem_mark, found,
                 tab ? "blanks before the key, not a tab" : "lines of the form key: value");
}

/* A key: text without anything special, once in its group. */
static drupelet_status take_key(loader *l, const yaml_event_t *event)
{
    if (event->type != YAML_SCALAR_EVENT)
        return fault(l, event->start_mark, "a list or a group as a key", "a name");
    const char *text = (const char *)event->data.scalar.value;
    if (text[0] == '\0' || strlen(text) != event->data.scalar.length)
        return fault(l, event->start_mark, "an empty key", "a name");
    l->key = strdup(text);
    if (!l->key)
        return no_memory();
    l->key_line = (int)event->start_mark.line + 1;
    l->key_column = (int)event->start_mark.column + 1;
    const scenario_node *first = scenario_node_find(l->parent, text);
    if (!first)
        return base_ok();
    char found[64];
    snprintf(found, sizeof found, "the key again (first on line %d)", first->key_line);
    return fault(l, event->start_mark, found, "it once");
}

static drupelet_status take_node(loader *l, const yaml_event_t *event)
{
    const bool scalar = event->type == YAML_SCALAR_EVENT;
    const scenario_node_kind kind = scalar                                   ? SCENARIO_VALUE
                                    : event->type == YAML_MAPPING_START_EVENT ? SCENARIO_GROUP
                                                                              : SCENARIO_LIST;
    const char *text = scalar ? (const char *)event->data.scalar.value : NULL;
    if (scalar && strlen(text) != event->data.scalar.length)
        return fault(l, event->start_mark, "a zero byte", "text");
    const int most = l->parent && l->parent->kind == SCENARIO_LIST && l->most > 0 ? l->most : SCENARIO_NODE_CHILDREN;
    if (l->parent && l->parent->n >= most) {
        char found[48];
        snprintf(found, sizeof found, "more than %d entries", most);
        return fault(l, event->start_mark, found, "fewer");
    }
    if (!scalar && ++l->depth > SCENARIO_NODE_DEPTH)
        return fault(l, event->start_mark, "more than 12 levels, one inside the other", "fewer");
    scenario_node *node = l->begun ? NULL : l->root;
    if (!node)
        node = node_create(kind, NULL, NULL);
    if (!node)
        return no_memory();
    if (l->parent)
        append(l->parent, node);
    else
        l->root = node;
    l->begun = true;
    if (l->key) {
        node->key = l->key;
        l->key = NULL;
        node->key_line = l->key_line;
        node->key_column = l->key_column;
    }
    node->kind = kind;
    node->quoted = scalar && event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
    node->line = (int)event->start_mark.line + 1;
    node->column = (int)event->start_mark.column + 1;
    node->file = l->file;
    node->setting = l->setting;
    if (!scalar) {
        free(node->text); /* of the place that a setting takes */
        node->text = NULL;
        l->parent = node;
        return base_ok();
    }
    free(node->text);
    node->text = strdup(text);
    return node->text ? base_ok() : no_memory();
}

/* What a scenario has no use for, and what would let a small file stand for a huge one. */
static drupelet_status refuse_special(const loader *l, const yaml_event_t *event)
{
    const yaml_char_t *anchor = NULL, *tag = NULL;
    switch (event->type) {
    case YAML_ALIAS_EVENT:
        return fault(l, event->start_mark, "a reference (*)", "the value itself");
    case YAML_SCALAR_EVENT:
        anchor = event->data.scalar.anchor, tag = event->data.scalar.tag;
        break;
    case YAML_SEQUENCE_START_EVENT:
        anchor = event->data.sequence_start.anchor, tag = event->data.sequence_start.tag;
        break;
    case YAML_MAPPING_START_EVENT:
        anchor = event->data.mapping_start.anchor, tag = event->data.mapping_start.tag;
        break;
    case YAML_DOCUMENT_START_EVENT:
        return l->done ? fault(l, event->start_mark, "a second document (---)", "one scenario in a file") : base_ok();
    default:
        break;
    }
    if (anchor)
        return fault(l, event->start_mark, "an anchor (&)", "every value written out");
    if (tag)
        return fault(l, event->start_mark, "a tag (!)", "the value alone");
    return base_ok();
}

static drupelet_status take_event(loader *l, const yaml_event_t *event)
{
    const drupelet_status status = refuse_special(l, event);
    if (status.code != DRUPELET_OK)
        return status;
    switch (event->type) {
    case YAML_SCALAR_EVENT:
    case YAML_SEQUENCE_START_EVENT:
    case YAML_MAPPING_START_EVENT:
        return l->parent && l->parent->kind == SCENARIO_GROUP && !l->key ? take_key(l, event) : take_node(l, event);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        l->parent = l->parent == l->root ? NULL : l->parent->parent;
        l->depth--;
        return base_ok();
    case YAML_DOCUMENT_END_EVENT:
        l->done = true;
        return base_ok();
    default:
        return base_ok();
    }
}

static drupelet_status load(loader *l)
{
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser))
        return no_memory();
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)l->text, l->n_bytes);
    drupelet_status status = base_ok();
    for (bool more = true; more && status.code == DRUPELET_OK;) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            status = syntax_error(l, &parser);
            break;
        }
        status = take_event(l, &event);
        more = event.type != YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    free(l->key);
    l->key = NULL;
    return status;
}

drupelet_status scenario_node_load(const char *file, const char *text, size_t n_bytes, int most, scenario_node **root)
{
    loader l = {.file = file, .text = text, .n_bytes = n_bytes, .most = most};
    drupelet_status status = load(&l);
    if (status.code == DRUPELET_OK && !l.root) { /* no document at all */
        l.root = node_create(SCENARIO_VALUE, NULL, "");
        if (l.root) {
            l.root->line = l.root->column = 1;
            l.root->file = file;
        } else {
            status = no_memory();
        }
    }
    if (status.code != DRUPELET_OK) {
        scenario_node_free(l.root);
        l.root = NULL;
    }
    *root = l.root;
    return status;
}

/* ---- settings ---- */

/* Entry of a group that the path goes through. A name may hold dots, so the longest that fits is taken.
 * @param n out: bytes of the path that it takes */
static scenario_node *entry_of_group(const scenario_node *group, const char *path, size_t n_path, size_t *n)
{
    scenario_node *best = NULL;
    *n = 0;
    for (scenario_node *child = group->first; child; child = child->next) {
        const size_t length = strlen(child->key);
        if (length > *n && length <= n_path && memcmp(path, child->key, length) == 0
            && (length == n_path || path[length] == '.')) {
            best = child;
            *n = length;
        }
    }
    return best;
}

static scenario_node *entry_of_list(const scenario_node *list, const char *path, size_t n_path, size_t *n)
{
    *n = 0;
    int i = 0;
    while (*n < n_path && *n < 4 && path[*n] >= '0' && path[*n] <= '9')
        i = 10 * i + (path[(*n)++] - '0');
    if (*n == 0 || (*n < n_path && path[*n] != '.'))
        return NULL;
    scenario_node *entry = list->first;
    for (; entry && i > 0; i--)
        entry = entry->next;
    return entry;
}

/* A new entry of a group, still without content, for the part of the path up to the next dot. */
static drupelet_status add_entry(scenario_node *group, const char *path, size_t n_path, const scenario_node *at,
                                 size_t *n, scenario_node **entry)
{
    const char *dot = memchr(path, '.', n_path);
    *n = dot ? (size_t)(dot - path) : n_path;
    if (*n == 0)
        return scenario_node_error(at, NULL, "an empty name in the path", "key.path=value");
    if (group->n >= SCENARIO_NODE_CHILDREN)
        return scenario_node_error(at, NULL, "more than 256 entries", "fewer");
    char *key = strndup(path, *n);
    scenario_node *node = key ? node_create(SCENARIO_VALUE, key, "") : NULL;
    free(key);
    if (!node)
        return no_memory();
    stand_at(node, at);
    append(group, node);
    *entry = node;
    return base_ok();
}

/* The node of a path, made where there is none. @param at messages about the path point there */
static drupelet_status find_or_add(scenario_node *root, const scenario_node *at, const char *path, size_t n_path,
                                   scenario_node **place)
{
    scenario_node *node = root;
    for (int depth = 0;; depth++) {
        if (depth > SCENARIO_NODE_DEPTH)
            return scenario_node_error(at, NULL, "more than 12 levels", "a key of a scenario");
        if (scenario_node_empty(node))
            make_group(node);
        if (node->kind == SCENARIO_VALUE)
            return scenario_node_error(at, NULL, "a path through a single value", "a key below a group or a list");
        size_t n;
        scenario_node *entry = node->kind == SCENARIO_GROUP ? entry_of_group(node, path, n_path, &n)
                                                            : entry_of_list(node, path, n_path, &n);
        if (!entry && node->kind == SCENARIO_LIST) {
            return node->n > 0 ? scenario_node_error(at, NULL, "no such entry of the list", "a number from 0 to %d",
                                                     node->n - 1)
                               : scenario_node_error(at, NULL, "no such entry of the list", "a list with entries");
        }
        if (!entry) {
            const drupelet_status status = add_entry(node, path, n_path, at, &n, &entry);
            if (status.code != DRUPELET_OK)
                return status;
        }
        if (n == n_path) {
            *place = entry;
            return base_ok();
        }
        node = entry;
        path += n + 1;
        n_path -= n + 1;
    }
}

drupelet_status scenario_node_set(scenario_node *root, const char *setting)
{
    const char *equals = strchr(setting, '=');
    const size_t n = equals ? (size_t)(equals - setting) : 0;
    char key[2 * SCENARIO_PATH]; /* as messages show it */
    snprintf(key, sizeof key, "%.*s", (int)(n < sizeof key ? n : sizeof key - 1), setting);
    scenario_node top = {.kind = SCENARIO_GROUP};
    const scenario_node at = {.key = key, .setting = setting, .parent = &top};
    if (n == 0)
        return scenario_node_error(&at, NULL, "no key and value", "key.path=value");
    scenario_node *place = NULL;
    drupelet_status status = find_or_add(root, &at, setting, n, &place);
    if (status.code != DRUPELET_OK)
        return status;
    free_below(place);
    free(place->text);
    place->text = strdup("");
    if (!place->text)
        return no_memory();
    place->kind = SCENARIO_VALUE;
    place->quoted = false;
    place->setting = setting;
    loader l = {.setting = setting, .text = equals + 1, .n_bytes = strlen(equals + 1), .root = place};
    return load(&l);
}

void scenario_node_forget_lines(scenario_node *node)
{
    node->line = node->column = node->key_line = node->key_column = 0;
    for (scenario_node *child = node->first; child; child = child->next)
        scenario_node_forget_lines(child);
}

/* ---- copies ---- */

/* What a node holds, without its own key and place in a tree. */
static bool copy_content(const scenario_node *from, scenario_node *to)
{
    to->kind = from->kind;
    to->quoted = from->quoted;
    to->line = from->line;
    to->column = from->column;
    to->file = from->file;
    to->setting = from->setting;
    to->text = from->text ? strdup(from->text) : NULL;
    if (from->text && !to->text)
        return false;
    for (const scenario_node *child = from->first; child; child = child->next) {
        scenario_node *copy = scenario_node_copy(child);
        if (!copy)
            return false;
        append(to, copy);
    }
    return true;
}

scenario_node *scenario_node_copy(const scenario_node *node)
{
    scenario_node *copy = node_create(node->kind, node->key, NULL);
    if (copy && copy_content(node, copy)) {
        copy->key_line = node->key_line;
        copy->key_column = node->key_column;
        return copy;
    }
    scenario_node_free(copy);
    return NULL;
}

scenario_node *scenario_node_value(const char *text, const scenario_node *at)
{
    scenario_node *node = node_create(SCENARIO_VALUE, NULL, text);
    if (node)
        stand_at(node, at);
    return node;
}

drupelet_status scenario_node_put(scenario_node *root, const char *path, const scenario_node *value,
                                  const scenario_node *at)
{
    scenario_node *place = NULL;
    const drupelet_status status = find_or_add(root, at, path, strlen(path), &place);
    if (status.code != DRUPELET_OK)
        return status;
    free_below(place);
    free(place->text);
    place->text = NULL;
    place->key_line = at->line;
    place->key_column = at->column;
    return copy_content(value, place) ? base_ok() : no_memory();
}
