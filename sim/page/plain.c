/* sim/page/plain.c - what a page says where scripts may not run: for each result the sentence, bars, the ground curve
 * and the cautions, as plain HTML in the language that the page opens in. Its words are those of
 * sim/page/browser/text.LANGUAGE.json. Pictures on a canvas and all that can be worked stay with the scripts. */
#include <math.h>
#include <string.h>

#include "base/status.h"
#include "page/parts.h"
#include "report/text.h"
#include "report/us_units.h"
#include "scenario/scenario.h"
#include "tally/groups.h"

enum { TEXT = 2048, WIDE = 640, HIGH = 220, LEFT = 48, FOOT = 24 };
static const double FAR_M = 100.0; /* as far as the curve of the page goes */

typedef struct {
    FILE *to;
    const char *texts;
    bool spanish, us;
} plain;

/* The text of a key, "" where there is none: the files have one key a line. */
static void find(const plain *p, const char *key, char text[TEXT])
{
    char line[96];
    size_t n = 0;
    snprintf(line, sizeof line, "\n\"%s\": \"", key);
    const char *at = strstr(p->texts, line);
    for (at = at ? at + strlen(line) : ""; *at != '\0' && *at != '"' && n < TEXT - 1; at++) {
        if (*at == '\\') at++;
        text[n++] = *at;
    }
    text[n] = '\0';
}

static void put(const plain *p, const char *key)
{
    char text[TEXT];
    find(p, key, text);
    report_xml_text(p->to, text);
}

/* A number, with the decimal mark of the page (number.js tells which). */
static void number(const plain *p, char *text, size_t room, int decimals, double value)
{
    snprintf(text, room, "%.*f", decimals, value);
    char *point = strchr(text, '.');
    if (point && p->spanish && !p->us) *point = ',';
}

/* Whole litres that add up to 100 by the largest remainders, as wholes() of number.js has them. */
static void wholes(const double value[TALLY_GROUPS], int whole[TALLY_GROUPS])
{
    double sum = 0.0;
    int left = 0;
    for (int g = 0; g < TALLY_GROUPS; g++) {
        whole[g] = (int)floor(value[g]);
        sum += value[g];
        left -= whole[g];
    }
    for (left += (int)lround(sum); left > 0; left--) {
        int most = 0;
        for (int g = 1; g < TALLY_GROUPS; g++)
            if (value[g] - whole[g] > value[most] - whole[most]) most = g;
        whole[most]++;
    }
}

/* "< 1 L" of the page's words, or "54 L". */
static void litres(const plain *p, char text[TEXT], double value, int whole)
{
    const char *unit = p->us ? "gal" : "L";
    char pattern[TEXT];
    if (whole > 0 || value <= 0.0) {
        snprintf(text, TEXT, "%d %s", whole, unit);
        return;
    }
    find(p, "less_than", pattern);
    const char *gap = strstr(pattern, "{value}");
    const int before = gap ? (int)(gap - pattern) : 0;
    snprintf(text, TEXT, "%.*s1 %s%.64s", before < 64 ? before : 64, pattern, unit, gap ? gap + strlen("{value}") : "");
}

static void sentence(const plain *p, const drupelet_result *r, const double value[TALLY_GROUPS],
                     const int whole[TALLY_GROUPS])
{
    const bool calm = value[TALLY_AIRBORNE] == 0.0 && r->wind_speed_m_s < SCENARIO_STILL_M_S;
    char text[TEXT], amount[TEXT];
    find(p,
         value[TALLY_UNDECIDED] < 0.05 ? "glance.sentence"
         : calm                        ? "glance.sentence.windless"
                                       : "glance.sentence.aloft",
         text);
    fputs("<p class=\"sentence\">", p->to);
    for (const char *at = text; *at != '\0';) {
        const char *gap = strchr(at, '{'), *end = gap ? strchr(gap, '}') : NULL;
        if (!end) {
            report_xml_text(p->to, at);
            break;
        }
        fwrite(at, 1, (size_t)(gap - at), p->to);
        const size_t n = (size_t)(end - gap) - 1;
        if (n == strlen("hundred") && strncmp(gap + 1, "hundred", n) == 0)
            fprintf(p->to, "100 %s", p->us ? "gal" : "L");
        for (int g = 0; g < TALLY_GROUPS; g++)
            if (n == strlen(tally_group_name(g)) && strncmp(gap + 1, tally_group_name(g), n) == 0) {
                litres(p, amount, value[g], whole[g]);
                fputs("<strong>", p->to);
                report_xml_text(p->to, amount);
                fputs("</strong>", p->to);
            }
        at = end + 1;
    }
    fputs("</p>\n", p->to);
}

static void bars(const plain *p, const double value[TALLY_GROUPS], const int whole[TALLY_GROUPS])
{
    char key[64], amount[TEXT];
    fputs("<table>\n", p->to);
    for (int g = 0; g < TALLY_GROUPS; g++) {
        if (g == TALLY_UNDECIDED && value[g] == 0.0) continue;
        snprintf(key, sizeof key, "group.%s", tally_group_name(g));
        litres(p, amount, value[g], whole[g]);
        fputs("<tr><th scope=\"row\">", p->to);
        put(p, key);
        fputs("</th><td class=\"number\">", p->to);
        report_xml_text(p->to, amount);
        fprintf(p->to,
                "</td><td><svg width=\"400\" height=\"14\" aria-hidden=\"true\"><rect class=\"drop-%s\" width=\"%.1f\" "
                "height=\"14\"/></svg></td></tr>\n",
                tally_group_name(g), 4.0 * fmax(value[g], 0.0));
    }
    fputs("</table>\n", p->to);
}

static void curve(const plain *p, const drupelet_result *r)
{
    double most = 0.0;
    for (int i = 0; i < r->n_ground; i++)
        if (r->ground_distance_m[i] >= 0.0 && isfinite(r->ground_percent_of_rate[i].share))
            most = fmax(most, r->ground_percent_of_rate[i].share);
    if (!(most > 0.0)) return;
    const double per_m = p->us ? report_ft(1.0) : 1.0;
    char text[32];
    fputs("<h3>", p->to);
    put(p, "fig.ground");
    fprintf(p->to, "</h3><svg class=\"chart\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" aria-hidden=\"true\">",
            WIDE, HIGH, WIDE, HIGH);
    fprintf(p->to, "<g class=\"axes\"><line class=\"base\" x1=\"%d\" x2=\"%d\" y1=\"%d\" y2=\"%d\"/>", LEFT, WIDE,
            HIGH - FOOT, HIGH - FOOT);
    for (int k = 0; k <= 4; k++) {
        number(p, text, sizeof text, 0, per_m * FAR_M * k / 4.0);
        fprintf(p->to, "<text x=\"%.0f\" y=\"%d\" text-anchor=\"%s\">%s %s</text>", LEFT + (WIDE - LEFT) * k / 4.0,
                HIGH - 6, k == 4 ? "end" : "start", text, p->us ? "ft" : "m");
    }
    number(p, text, sizeof text, most < 10.0 ? 1 : 0, most);
    fprintf(p->to, "<text x=\"0\" y=\"12\">%s %%</text></g><path class=\"curve\" stroke=\"currentColor\" d=\"", text);
    bool first = true;
    for (int i = 0; i < r->n_ground; i++) {
        const double d_m = r->ground_distance_m[i], share = r->ground_percent_of_rate[i].share;
        if (d_m < 0.0 || d_m > FAR_M || !isfinite(share)) continue;
        fprintf(p->to, "%s%.1f,%.1f", first ? "M" : "L", LEFT + (WIDE - LEFT) * d_m / FAR_M,
                (HIGH - FOOT) * (1.0 - share / most) * 0.94 + 0.06 * (HIGH - FOOT));
        first = false;
    }
    fputs("\"/></svg>\n<table><tr><th scope=\"col\">", p->to);
    put(p, "axis.distance.short");
    fprintf(p->to, ", %s</th><th scope=\"col\" class=\"number\">", p->us ? "ft" : "m");
    put(p, "drift.ground");
    fputs(", %</th></tr>\n", p->to);
    for (int i = 0; i < SCENARIO_CURVE; i++) {
        const double share = r->curve_percent[i].share;
        if (!isfinite(share)) continue;
        number(p, text, sizeof text, 0, per_m * r->curve_distance_m[i]);
        fprintf(p->to, "<tr><th scope=\"row\">%s</th>", text);
        number(p, text, sizeof text, share < 1.0 ? 2 : share < 10.0 ? 1 : 0, share);
        fprintf(p->to, "<td class=\"number\">%s</td></tr>\n", text);
    }
    fputs("</table>\n", p->to);
}

void page_plain_head(FILE *to, const char *texts, bool spanish)
{
    const plain p = {to, texts, spanish, false};
    fprintf(to, "<div class=\"noscript\" lang=\"%s\"><h1>", spanish ? "es" : "en");
    put(&p, "title");
    fputs("</h1><p>", to);
    put(&p, "plain.scripts");
    fputs("</p>\n", to);
}

void page_plain_result(FILE *to, const char *texts, bool spanish, bool us, const drupelet_result *r)
{
    const plain p = {to, texts, spanish, us};
    double value[TALLY_GROUPS];
    int whole[TALLY_GROUPS];
    for (int g = 0; g < TALLY_GROUPS; g++) {
        value[g] = 0.0;
        for (int f = 0; f < TALLY_FATES; f++)
            value[g] += (int)tally_group_of((tally_fate)f) == g ? 100.0 * r->fate[f].share : 0.0;
    }
    wholes(value, whole);
    fputs("<h2><bdi>", to);
    report_xml_text(to, r->name);
    fputs("</bdi></h2>\n", to);
    sentence(&p, r, value, whole);
    for (int i = 0; i < r->n_warnings; i++) {
        fputs("<p class=\"warnings\">", to);
        report_xml_text(to, r->warning[i].sentence);
        fputs("</p>\n", to);
    }
    bars(&p, value, whole);
    curve(&p, r);
    bool assumed = false;
    for (int i = 0; i < r->n_sprays; i++)
        assumed = assumed || r->spray[i].assumed;
    if (assumed) {
        fputs("<p>", to);
        put(&p, "caution.assumed");
        fputs("</p>\n", to);
    }
}

void page_plain_foot(FILE *to, const char *texts, bool spanish)
{
    const plain p = {to, texts, spanish, false};
    fputs("<h2>", to);
    put(&p, "caution");
    fputs("</h2>", to);
    fputs("<p>", to);
    put(&p, "caution.label");
    fputs("</p>", to);
    fputs("</div>", to);
}
