/* sim/sheet/cards.h - target zones for cards in the crown, and whether the cards that were read pass a limit. */
#ifndef SHEET_CARDS_H
#define SHEET_CARDS_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "tally/tally.h"

enum { SHEET_CARDS = 200, SHEET_CARD_PLACE = 40 };

/** A card as it was read. */
typedef struct {
    int zone;                     /* third of the crown's height, from the bottom */
    char place[SHEET_CARD_PLACE]; /* where in the zone, in the reader's words */
    double cover, droplets_1_cm2; /* NAN where it was not read */
} sheet_card;

/** What a card must have at least; NAN: no limit was typed in. */
typedef struct {
    double cover, droplets_1_cm2;
} sheet_card_limit;

typedef struct {
    int n;
    sheet_card card[SHEET_CARDS];
} sheet_cards;

/** Reads cards (docs/block-sheet.md). @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status sheet_cards_read(const char *path, sheet_cards *cards);
/** Does a card hold the limits that were typed in? A card on which a limited number was not read does not. */
bool sheet_card_passes(const sheet_card *card, const sheet_card_limit *limit);
/** Puts zones, and cards where there are some, into a sheet. @param cards NULL: a table to fill in by hand */
void sheet_put_cards(sheet *s, const drupelet_scenario *scenario, const sheet_cards *cards,
                     const sheet_card_limit *limit);

#endif
