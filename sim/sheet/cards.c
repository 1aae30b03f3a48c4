/* sim/sheet/cards.c - target zones for cards. A zone is a third of the crown's height, as in the results of a run.
 * Which cover or how many droplets are enough depends on product and pest: the limit is typed in, none is ours. */
#include "sheet/cards.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/csv.h"
#include "base/number.h"
#include "base/status.h"
#include "result/result.h"

#define MOST_BYTES ((size_t)1000000)

static void take_line(base_csv *csv, sheet_cards *cards)
{
    const int i_zone = base_csv_column(csv, "zone"), i_place = base_csv_column(csv, "place"),
              i_cover = base_csv_column(csv, "cover_percent"), i_droplets = base_csv_column(csv, "droplets_per_cm2");
    const bool covered = base_csv_text(csv, i_cover)[0] != '\0', counted = base_csv_text(csv, i_droplets)[0] != '\0';
    sheet_card card = {.zone = 0, .cover = (double)NAN, .droplets_1_cm2 = (double)NAN};
    while (result_third_name(card.zone) && strcmp(result_third_name(card.zone), base_csv_text(csv, i_zone)) != 0)
        card.zone++;
    if (!result_third_name(card.zone)) {
        base_csv_refuse(csv, i_zone, "%s, %s or %s", result_third_name(0), result_third_name(1), result_third_name(2));
        return;
    }
    if (!covered && !counted) {
        base_csv_refuse(csv,
                        i_cover >= 0      ? i_cover
                        : i_droplets >= 0 ? i_droplets
                                          : i_zone,
                        "cover_percent or droplets_per_cm2 of the card");
        return;
    }
    if (cards->n == SHEET_CARDS) {
        base_csv_refuse(csv, i_zone, "at most %d cards", SHEET_CARDS);
        return;
    }
    const char *place = base_csv_text(csv, i_place);
    if (strlen(place) >= sizeof card.place) {
        base_csv_refuse(csv, i_place, "at most %d bytes", SHEET_CARD_PLACE - 1);
        return;
    }
    snprintf(card.place, sizeof card.place, "%s", place);
    if (covered) card.cover = 0.01 * base_csv_number(csv, i_cover, 0.0, 100.0, "a cover in %");
    if (counted) card.droplets_1_cm2 = base_csv_number(csv, i_droplets, 0.0, 1e5, "droplets per cm2");
    if (csv->status.code == DRUPELET_OK) cards->card[cards->n++] = card;
}

drupelet_status sheet_cards_read(const char *path, sheet_cards *cards)
{
    base_csv csv;
    cards->n = 0;
    base_csv_open(path, MOST_BYTES, "zone place cover_percent droplets_per_cm2", &csv);
    base_csv_need(&csv, "zone");
    while (base_csv_next(&csv))
        take_line(&csv, cards);
    if (csv.status.code == DRUPELET_OK && cards->n == 0)
        csv.status = base_error(DRUPELET_SCENARIO, "%s: found no card, expected one a line", path);
    base_csv_close(&csv);
    return csv.status;
}

bool sheet_card_passes(const sheet_card *card, const sheet_card_limit *limit)
{
    const bool cover = isnan(limit->cover) || card->cover >= limit->cover * (1.0 - BASE_ROUNDING);
    const bool droplets =
        isnan(limit->droplets_1_cm2) || card->droplets_1_cm2 >= limit->droplets_1_cm2 * (1.0 - BASE_ROUNDING);
    return cover && droplets;
}

static bool limited(const sheet_card_limit *limit)
{
    return !isnan(limit->cover) || !isnan(limit->droplets_1_cm2);
}

static void put_zones(sheet *s, const drupelet_scenario *scenario, const sheet_cards *cards,
                      const sheet_card_limit *limit)
{
    static const sheet_column columns[] = {{"zone", "zone", 0, true},
                                           {"from", "from", SHEET_LENGTH, false},
                                           {"to", "to", SHEET_LENGTH, false},
                                           {"cards", "cards", SHEET_COUNT, false},
                                           {"passed", "passed", SHEET_COUNT, false},
                                           {"verdict", "", 0, true}};
    const scenario_canopy *c = &scenario->canopy;
    sheet_table(s, "zones", 6, columns);
    for (int z = TALLY_THIRDS - 1; z >= 0; z--) {
        const double third_m = (c->height_m - c->base_m) / TALLY_THIRDS;
        int n = 0, n_passed = 0;
        for (int i = 0; cards && i < cards->n; i++) {
            n += cards->card[i].zone == z;
            n_passed += cards->card[i].zone == z && sheet_card_passes(&cards->card[i], limit);
        }
        const double unknown = limited(limit) && n > 0 ? 0.0 : (double)NAN;
        sheet_row(s, (sheet_cell[]){{.words = result_third_name(z)},
                                    {.value_si = c->base_m + z * third_m},
                                    {.value_si = c->base_m + (z + 1) * third_m},
                                    {.value_si = cards ? n : (double)NAN},
                                    {.value_si = n_passed + unknown},
                                    {.words = isnan(unknown)  ? ""
                                              : n_passed == n ? "pass"
                                                              : "fail"}});
    }
}

static void put_cards(sheet *s, const sheet_cards *cards, const sheet_card_limit *limit)
{
    static const sheet_column columns[] = {{"zone", "zone", 0, true},
                                           {"place", "place", 0, true},
                                           {"cover", "cover", SHEET_PERCENT, false},
                                           {"droplets", "droplets", SHEET_PER_CM2, false},
                                           {"verdict", "", 0, true}};
    sheet_table(s, "cards", 5, columns);
    for (int z = TALLY_THIRDS - 1; z >= 0; z--)
        for (int i = 0; i < cards->n; i++) {
            const sheet_card *card = &cards->card[i];
            if (card->zone != z) continue;
            sheet_row(s, (sheet_cell[]){{.words = result_third_name(z)},
                                        {.words = card->place},
                                        {.value_si = card->cover},
                                        {.value_si = card->droplets_1_cm2},
                                        {.words = !limited(limit)                  ? ""
                                                  : sheet_card_passes(card, limit) ? "pass"
                                                                                   : "fail"}});
        }
}

void sheet_put_cards(sheet *s, const drupelet_scenario *scenario, const sheet_cards *cards,
                     const sheet_card_limit *limit)
{
    sheet_section(s, "cards", "Target zones for cards");
    if (!isnan(limit->cover))
        sheet_value(s, "least_cover", "limit: cover of at least", SHEET_PERCENT, limit->cover, "as given");
    if (!isnan(limit->droplets_1_cm2))
        sheet_value(s, "least_droplets", "limit: droplets of at least", SHEET_PER_CM2, limit->droplets_1_cm2,
                    "as given");
    put_zones(s, scenario, cards, limit);
    if (cards) put_cards(s, cards, limit);
    sheet_note(
        s, "Thirds of the crown's height. Hang cards on both sides of the row and inside it, facing out and down as "
           "leaves do, in several trees (common practice). A zone passes when each of its cards does; what is "
           "enough depends on product and pest, and the label decides.");
}
