/* tests/sanitize/known.c - tells the memory sanitizer what libyaml has set: it watches only what was compiled with it,
 * and would take all that the library writes for values that nobody set. The linker puts __wrap_x in the place of x
 * (tests/CMakeLists.txt). */
#include <sanitizer/msan_interface.h>
#include <string.h>
#include <yaml.h>

int __real_yaml_parser_initialize(yaml_parser_t *parser);
int __wrap_yaml_parser_initialize(yaml_parser_t *parser);
int __real_yaml_parser_parse(yaml_parser_t *parser, yaml_event_t *event);
int __wrap_yaml_parser_parse(yaml_parser_t *parser, yaml_event_t *event);

int __wrap_yaml_parser_initialize(yaml_parser_t *parser)
{
    const int answer = __real_yaml_parser_initialize(parser);
    __msan_unpoison(parser, sizeof *parser);
    return answer;
}

static void know_text(const yaml_char_t *text)
{
    if (text) __msan_unpoison_string((const char *)text);
}

int __wrap_yaml_parser_parse(yaml_parser_t *parser, yaml_event_t *event)
{
    __msan_scoped_disable_interceptor_checks(); /* what the library hands to strlen and the like it has set, too */
    const int answer = __real_yaml_parser_parse(parser, event);
    __msan_scoped_enable_interceptor_checks();
    __msan_unpoison(parser, sizeof *parser);
    __msan_unpoison(event, sizeof *event);
    if (!answer) {
        know_text((const yaml_char_t *)parser->problem);
        return answer;
    }
    switch (event->type) {
    case YAML_SCALAR_EVENT:
        __msan_unpoison(event->data.scalar.value, event->data.scalar.length + 1);
        know_text(event->data.scalar.anchor);
        know_text(event->data.scalar.tag);
        break;
    case YAML_SEQUENCE_START_EVENT:
        know_text(event->data.sequence_start.anchor);
        know_text(event->data.sequence_start.tag);
        break;
    case YAML_MAPPING_START_EVENT:
        know_text(event->data.mapping_start.anchor);
        know_text(event->data.mapping_start.tag);
        break;
    case YAML_ALIAS_EVENT: know_text(event->data.alias.anchor); break;
    default: break;
    }
    return answer;
}
