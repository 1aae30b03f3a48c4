/* sim/sweep/job.c - the cases of a sweep: checked, grouped by their air, found again in journals. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "air/air.h"
#include "base/elementary.h"
#include "base/status.h"
#include "drupelet/run.h"
#include "sweep/plan_factors.h"
#include "sweep/sweep.h"

enum { JOURNAL_FORMAT = 2, GROUPS_A_SHARD = 4 /* choice: with more, whole airs make even shards */ };

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the cases of the sweep");
}

static int64_t shard_of(const sweep_job *job, int64_t i_case, int64_t ordinal)
{
    return job->n_groups >= GROUPS_A_SHARD * job->shard.n ? job->group[i_case] % job->shard.n
                                                          : ordinal * job->shard.n / job->n_cases;
}

/* ---- equal airs ---- */

/* Hash table of keys, open addressing. */
typedef struct { sweep_identity *key; int32_t *group; size_t room, n; } key_table;

static bool same(sweep_identity a, sweep_identity b)
{
    return a.part[0] == b.part[0] && a.part[1] == b.part[1];
}

static size_t slot_of(const key_table *t, sweep_identity key)
{
    size_t i = (size_t)key.part[0] & (t->room - 1);
    while (t->group[i] >= 0 && !same(t->key[i], key))
        i = (i + 1) & (t->room - 1);
    return i;
}

static bool grow(key_table *t)
{
    key_table more = {.room = t->room > 0 ? 2 * t->room : 1024, .n = t->n};
    more.key = malloc(more.room * sizeof *more.key);
    more.group = malloc(more.room * sizeof *more.group);
    if (!more.key || !more.group) {
        free(more.key);
        free(more.group);
        return false;
    }
    for (size_t i = 0; i < more.room; i++)
        more.group[i] = -1;
    for (size_t i = 0; i < t->room; i++)
        if (t->group[i] >= 0) {
            const size_t k = slot_of(&more, t->key[i]);
            more.key[k] = t->key[i];
            more.group[k] = t->group[i];
        }
    free(t->key);
    free(t->group);
    *t = more;
    return true;
}

/* Number of a key, a new one where it is not known; -1 without memory. */
static int32_t number_of(key_table *t, sweep_identity key, int32_t next)
{
    if (2 * (t->n + 1) > t->room && !grow(t))
        return -1;
    const size_t i = slot_of(t, key);
    if (t->group[i] < 0) {
        t->key[i] = key;
        t->group[i] = next;
        t->n++;
    }
    return t->group[i];
}

static void table_free(key_table *t)
{
    free(t->key);
    free(t->group);
}

/* ---- the check ---- */

/* Which collectors are kept: those of the first case. */
static void list_collectors(sweep_job *job, const drupelet_scenario *s)
{
    const double low_m = scenario_low_edge_x_m(&s->orchard), high_m = scenario_high_edge_x_m(&s->orchard);
    const bool downwind = base_cos(s->weather.wind_angle_rad) >= 0.0; /* as in the accounts of a run */
    job->n_collectors = s->n_collectors;
    for (int i = 0; i < s->n_collectors; i++) {
        const scenario_collector *from = &s->collector[i];
        store_sweep_collector *c = &job->collector[i];
        *c = (store_sweep_collector){.kind = (int8_t)from->kind,
                                     .distance_m = downwind ? from->x_m - high_m : low_m - from->x_m,
                                     .height_m = from->height_m,
                                     .top_m = from->top_m};
        snprintf(c->name, sizeof c->name, "%s", from->name);
    }
}

static drupelet_status look_at_cases(sweep_job *job)
{
    key_table airs = {0};
    drupelet_status status = base_ok();
    for (int64_t c = 0; c < job->n_cases && status.code == DRUPELET_OK; c++) {
        drupelet_scenario *scenario = NULL;
        status = sweep_plan_scenario(job->plan, c, &scenario);
        if (status.code == DRUPELET_OK) {
            if (c == 0)
                list_collectors(job, scenario);
            job->identity[c] = sweep_identity_of(scenario, job->plan->keep);
            job->all = base_hash_on(job->all, &job->identity[c], sizeof job->identity[c]);
            job->group[c] = number_of(&airs, air_key(scenario), job->n_groups);
            if (job->group[c] < 0)
                status = no_memory();
            else if (job->group[c] == job->n_groups)
                job->n_groups++;
        }
        drupelet_scenario_free(scenario);
        if (status.code == DRUPELET_OK && job->hooks.stop(job->hooks.user))
            status = base_error(DRUPELET_STOPPED, "stopped");
    }
    table_free(&airs);
    return status;
}

/* Which cases belong to the shard: all cases of some airs where there are many airs, else a stretch of the cases in
 * the order of airs. */
static drupelet_status pick_shard(sweep_job *job)
{
    bool *all = malloc((size_t)job->n_cases);
    sweep_dispatch *order = NULL;
    if (!all)
        return no_memory();
    memset(all, 1, (size_t)job->n_cases);
    const drupelet_status status = sweep_dispatch_create(job->n_cases, job->group, job->n_groups, all, 1, &order);
    free(all);
    if (status.code != DRUPELET_OK)
        return status;
    for (int64_t ordinal = 0; ordinal < job->n_cases; ordinal++) {
        const int64_t c = sweep_dispatch_next(order, 0);
        job->wanted[c] = shard_of(job, c, ordinal) == job->shard.i - 1;
        job->n_shard += job->wanted[c];
    }
    sweep_dispatch_free(order);
    return base_ok();
}

drupelet_status sweep_check(sweep_plan *plan, sweep_shard shard, const sweep_hooks *hooks, const char *full_folder,
                            sweep_job **result)
{
    *result = NULL;
    sweep_job *job = calloc(1, sizeof *job);
    if (!job)
        return no_memory();
    const size_t n = (size_t)plan->n_cases;
    job->plan = plan;
    job->hooks = *hooks;
    job->shard = shard;
    job->n_cases = plan->n_cases;
    job->status = base_ok();
    job->group = malloc(n * sizeof *job->group);
    job->identity = malloc(n * sizeof *job->identity);
    job->wanted = malloc(n * sizeof *job->wanted);
    job->where = malloc(n * sizeof *job->where);
    job->full_folder = plan->keep == SWEEP_FULL && full_folder ? strdup(full_folder) : NULL;
    drupelet_status status = job->group && job->identity && job->wanted && job->where
                                     && (job->full_folder || plan->keep != SWEEP_FULL || !full_folder)
                                 ? base_ok()
                                 : no_memory();
    for (size_t c = 0; c < n && status.code == DRUPELET_OK; c++)
        job->where[c] = -1;
    if (status.code == DRUPELET_OK) status = look_at_cases(job);
    if (status.code == DRUPELET_OK) status = pick_shard(job);
    if (status.code == DRUPELET_OK)
        job->progress.n_cases = job->n_shard;
    if (status.code == DRUPELET_OK)
        *result = job;
    else
        sweep_free(job);
    return status;
}

drupelet_status sweep_help(sweep_plan *plan, const sweep_hooks *hooks, const char *full_folder, sweep_job **result)
{
    sweep_job *job = *result = calloc(1, sizeof *job);
    if (!job)
        return no_memory();
    job->plan = plan;
    job->hooks = *hooks;
    job->n_cases = plan->n_cases;
    job->status = base_ok();
    job->full_folder = plan->keep == SWEEP_FULL ? strdup(full_folder) : NULL;
    drupelet_scenario *first = NULL;
    const drupelet_status status = sweep_plan_scenario(plan, 0, &first);
    if (status.code == DRUPELET_OK)
        list_collectors(job, first);
    drupelet_scenario_free(first);
    return status;
}

void sweep_free(sweep_job *job)
{
    if (!job)
        return;
    for (int i = 0; i < job->n_journals; i++)
        store_journal_close(job->journal[i]);
    free(job->journal);
    free(job->group);
    free(job->identity);
    free(job->wanted);
    free(job->where);
    free(job->full_folder);
    free(job);
}

/* ---- journals ---- */

/* Head of a journal: what its cases belong to. */
typedef struct {
    char version[32];
    int32_t format, record_bytes, keep, shard, n_shards, unused;
    int64_t n_cases;
    sweep_identity all;
} journal_head;

static journal_head head_of(const sweep_job *job, sweep_shard shard)
{
    journal_head head = {.format = JOURNAL_FORMAT,
                         .record_bytes = (int32_t)sweep_record_measures(true),
                         .keep = (int32_t)job->plan->keep,
                         .shard = shard.i,
                         .n_shards = shard.n,
                         .n_cases = job->n_cases,
                         .all = job->all};
    snprintf(head.version, sizeof head.version, "%s", drupelet_version());
    return head;
}

static bool with_profiles(const sweep_job *job)
{
    return job->plan->keep != SWEEP_FATES;
}

/* What is wrong with the head of a journal; "" if it is of this sweep. */
static void compare_heads(const journal_head *found, const journal_head *wanted, char *wrong, size_t room)
{
    wrong[0] = '\0';
    if (found->format != wanted->format || found->record_bytes != wanted->record_bytes)
        snprintf(wrong, room, "was written by another version of drupelet, whose records this one cannot read");
    else if (found->shard != wanted->shard || found->n_shards != wanted->n_shards)
        snprintf(wrong, room, "belongs to shard %d of %d, not to %d of %d", found->shard, found->n_shards,
                 wanted->shard, wanted->n_shards);
    else if (memcmp(found->version, wanted->version, sizeof found->version) != 0)
        snprintf(wrong, room, "was begun by drupelet %.31s, and this is %.31s", found->version, wanted->version);
    else if (found->keep != wanted->keep || found->n_cases != wanted->n_cases || !same(found->all, wanted->all))
        snprintf(wrong, room, "belongs to another state of the plan (or of its scenario, or of a canopy file)");
}

static drupelet_status read_head(const store_journal *journal, journal_head *head)
{
    size_t n;
    const void *bytes = store_journal_head(journal, &n);
    if (n != sizeof *head)
        return base_error(DRUPELET_FILE,
                          "%s: was written by another version of drupelet, whose records this one cannot "
                          "read",
                          store_journal_path(journal));
    memcpy(head, bytes, sizeof *head);
    return base_ok();
}

static drupelet_status add_journal(sweep_job *job, store_journal *journal)
{
    store_journal **more = realloc(job->journal, ((size_t)job->n_journals + 1) * sizeof *more);
    if (!more) {
        store_journal_close(journal);
        return no_memory();
    }
    job->journal = more;
    job->journal[job->n_journals++] = journal;
    job->lost_bytes += store_journal_lost(journal);
    return base_ok();
}

/* Notes which cases a journal has. @param retry passes over failed ones */
static drupelet_status find_cases(sweep_job *job, int i_journal, bool retry)
{
    store_journal *journal = job->journal[i_journal];
    sweep_record *record = malloc(sizeof *record);
    drupelet_status status = record ? base_ok() : no_memory();
    for (int64_t i = 0; i < store_journal_records(journal) && status.code == DRUPELET_OK; i++) {
        const void *bytes;
        size_t n;
        status = store_journal_read(journal, i, &bytes, &n);
        if (status.code != DRUPELET_OK || !sweep_record_unpack(bytes, n, with_profiles(job), record)
            || record->i_case < 0 || record->i_case >= job->n_cases
            || !same(record->identity, job->identity[record->i_case]))
            continue;
        const int64_t c = record->i_case;
        const bool failed = record->code != DRUPELET_OK;
        if ((failed && retry) || (job->where[c] >= 0 && failed))
            continue;
        job->where[c] = i_journal * SWEEP_RECORDS + i; /* of two the later one: a failure that was tried again */
    }
    free(record);
    return status;
}

/* A new journal in place of the old one, with those of its cases that are in the plan. */
static drupelet_status carry_over(sweep_job *job, store_journal *old, const char *path)
{
    key_table cases = {0};
    store_journal *new = NULL;
    const journal_head head = head_of(job, job->shard);
    sweep_record *record = malloc(sizeof *record);
    unsigned char *packed = malloc(SWEEP_RECORD);
    char *draft = malloc(strlen(path) + 16);
    drupelet_status status = record && packed && draft ? base_ok() : no_memory();
    for (int64_t c = 0; c < job->n_cases && status.code == DRUPELET_OK; c++)
        if (job->n_cases > INT32_MAX || number_of(&cases, job->identity[c], (int32_t)c) < 0)
            status = no_memory();
    if (status.code == DRUPELET_OK) {
        sprintf(draft, "%s.changed", path);
        status = store_journal_create(draft, &head, sizeof head, true, &new);
    }
    for (int64_t i = 0; i < store_journal_records(old) && status.code == DRUPELET_OK; i++) {
        const void *bytes;
        size_t n;
        status = store_journal_read(old, i, &bytes, &n);
        if (status.code != DRUPELET_OK || !sweep_record_unpack(bytes, n, with_profiles(job), record))
            continue;
        const size_t slot = slot_of(&cases, record->identity);
        if (cases.group[slot] < 0)
            continue;
        record->i_case = cases.group[slot];
        n = sweep_record_pack(record, with_profiles(job), packed);
        status = store_journal_append(new, packed, n, false);
    }
    store_journal_close(new); /* flushes */
    if (status.code == DRUPELET_OK && rename(draft, path) != 0)
        status = base_error(DRUPELET_FILE, "%s: cannot take its new name", draft);
    if (status.code != DRUPELET_OK && new)
        remove(draft);
    table_free(&cases);
    free(draft);
    free(packed);
    free(record);
    return status;
}

/* Opens a journal that is there, if it is of this sweep, or carries its cases over. */
static drupelet_status resume(sweep_job *job, const char *path, bool changed, store_journal **journal)
{
    const journal_head wanted = head_of(job, job->shard);
    journal_head found = {0};
    char wrong[200] = "";
    drupelet_status status = store_journal_open(path, true, journal);
    if (status.code == DRUPELET_OK) status = read_head(*journal, &found);
    if (status.code == DRUPELET_OK) compare_heads(&found, &wanted, wrong, sizeof wrong);
    const bool readable = found.format == wanted.format && found.record_bytes == wanted.record_bytes
                          && found.keep == wanted.keep && found.shard == wanted.shard
                          && found.n_shards == wanted.n_shards;
    if (status.code == DRUPELET_OK && wrong[0] && !(changed && readable))
        status = base_error(DRUPELET_SCENARIO, "%s: %s%s", path, wrong,
                            readable ? "; --changed keeps those of its cases that are the same, --force begins anew"
                                     : "; --force begins anew");
    if (status.code == DRUPELET_OK && wrong[0]) {
        job->lost_bytes += store_journal_lost(*journal);
        status = carry_over(job, *journal, path);
        store_journal_close(*journal);
        *journal = NULL;
        if (status.code == DRUPELET_OK)
            status = store_journal_open(path, true, journal);
    }
    if (status.code != DRUPELET_OK) {
        store_journal_close(*journal);
        *journal = NULL;
    }
    return status;
}

static void count_finished(sweep_job *job)
{
    for (int64_t c = 0; c < job->n_cases; c++) {
        if (job->where[c] < 0 || !job->wanted[c])
            continue;
        job->wanted[c] = false;
        job->progress.n_done++;
    }
}

drupelet_status sweep_open_journal(sweep_job *job, const char *path, sweep_start start, bool retry)
{
    store_journal *journal = NULL;
    const journal_head head = head_of(job, job->shard);
    drupelet_status status;
    if ((start == SWEEP_RESUME || start == SWEEP_CHANGED) && store_journal_is_there(path))
        status = resume(job, path, start == SWEEP_CHANGED, &journal);
    else
        status = store_journal_create(path, &head, sizeof head, start == SWEEP_ANEW, &journal);
    if (status.code == DRUPELET_OK) status = add_journal(job, journal);
    if (status.code == DRUPELET_OK) status = find_cases(job, job->n_journals - 1, retry);
    if (status.code == DRUPELET_OK) {
        sweep_record *record = malloc(sizeof *record);
        if (!record)
            status = no_memory();
        for (int64_t c = 0; c < job->n_cases && status.code == DRUPELET_OK; c++)
            if (job->where[c] >= 0 && job->wanted[c]) {
                status = sweep_recall(job, c, record);
                job->progress.n_failed += record->code != DRUPELET_OK;
            }
        free(record);
    }
    count_finished(job);
    return status;
}

bool sweep_drop_empty_journal(sweep_job *job)
{
    store_journal *journal = job->n_journals == 1 ? job->journal[0] : NULL;
    if (!journal || store_journal_records(journal) > 0 || store_journal_lost(journal) > 0) return false;
    return remove(store_journal_path(journal)) == 0;
}

drupelet_status sweep_open_shards(sweep_job *job, int n, const char *const path[])
{
    drupelet_status status = base_ok();
    for (int i = 0; i < n && status.code == DRUPELET_OK; i++) {
        store_journal *journal = NULL;
        const journal_head wanted = head_of(job, (sweep_shard){i + 1, n});
        journal_head found;
        char wrong[200] = "";
        status = store_journal_open(path[i], false, &journal);
        if (status.code == DRUPELET_OK) status = read_head(journal, &found);
        if (status.code == DRUPELET_OK) compare_heads(&found, &wanted, wrong, sizeof wrong);
        if (status.code == DRUPELET_OK && wrong[0])
            status = base_error(DRUPELET_SCENARIO, "%s: %s", path[i], wrong);
        if (status.code != DRUPELET_OK) {
            store_journal_close(journal);
            break;
        }
        status = add_journal(job, journal);
        if (status.code == DRUPELET_OK)
            status = find_cases(job, job->n_journals - 1, false);
    }
    int64_t missing = 0, first = -1;
    for (int64_t c = 0; c < job->n_cases && status.code == DRUPELET_OK; c++)
        if (job->where[c] < 0) {
            missing++;
            first = first < 0 ? c : first;
        }
    if (status.code == DRUPELET_OK && missing > 0)
        status = base_error(DRUPELET_SCENARIO, "%lld cases are in no journal yet (case %lld is the first): finish the "
                                               "shards with --resume", (long long)missing, (long long)first + 1);
    return status;
}

drupelet_status sweep_recall(sweep_job *job, int64_t i_case, sweep_record *record)
{
    const int64_t where = job->where[i_case];
    const void *bytes;
    size_t n;
    drupelet_status status = store_journal_read(job->journal[where / SWEEP_RECORDS], where % SWEEP_RECORDS, &bytes, &n);
    if (status.code == DRUPELET_OK && !sweep_record_unpack(bytes, n, with_profiles(job), record))
        status = base_error(DRUPELET_FILE, "case %lld of the journal is damaged", (long long)i_case + 1);
    return status;
}

drupelet_status sweep_take(sweep_job *job, const sweep_record *record)
{
    enum { FLUSH_EVERY_S = 1 }; /* choice: what a power cut may cost; the end of the program costs nothing */
    unsigned char packed[SWEEP_RECORD];
    if (job->status.code != DRUPELET_OK)
        return job->status;
    store_journal *journal = job->journal[0];
    const double now_s = job->hooks.now_s(job->hooks.user);
    const bool flush = now_s - job->flushed_s >= FLUSH_EVERY_S;
    const size_t n = sweep_record_pack(record, with_profiles(job), packed);
    job->status = store_journal_append(journal, packed, n, flush);
    if (job->status.code != DRUPELET_OK)
        return job->status;
    if (flush)
        job->flushed_s = job->hooks.now_s(job->hooks.user);
    job->where[record->i_case] = store_journal_records(journal) - 1;
    job->wanted[record->i_case] = false;
    job->progress.n_done++;
    job->progress.n_here++;
    job->progress.n_failed += record->code != DRUPELET_OK;
    if (job->hooks.show)
        job->hooks.show(&job->progress, job->hooks.user);
    return base_ok();
}

/* ---- the result file ---- */

static void fill_head(const sweep_job *job, store_sweep_head *head)
{
    sweep_plan *plan = job->plan;
    const scenario_key *design = scenario_key_among(&sweep_plan_keys, "design");
    *head = (store_sweep_head){.name = plan->name,
                               .version = (char *)(intptr_t)drupelet_version(),
                               .caution = (char *)(intptr_t)drupelet_caution(),
                               .plan_text = plan->text,
                               .scenario_text = plan->base_text,
                               .design = (char *)(intptr_t)scenario_word_for(design, (int)plan->design),
                               .indices = plan->indices,
                               .profiles = with_profiles(job),
                               .n_replicates = plan->n_replicates,
                               .n_factors = plan->n_factors,
                               .n_cases = job->n_cases,
                               .n_collectors = job->n_collectors,
                               .collector = job->collector};
}

static void fill_row(const sweep_job *job, int64_t i_case, const sweep_record *record, char *reason,
                     store_sweep_row *row)
{
    const sweep_plan *plan = job->plan;
    row->seed = (int64_t)sweep_plan_seed(plan, i_case);
    row->n_droplets = record->n_droplets;
    for (int f = 0; f < plan->n_factors; f++) {
        const sweep_setting s = sweep_plan_setting(plan, i_case / plan->n_replicates, f);
        row->setting[f] = plan->factor[f].numeric ? s.number : s.i_level;
    }
    row->measures = record->measures;
    row->reason = NULL;
    if (record->code == DRUPELET_OK)
        return;
    memcpy(reason, record->reason, SWEEP_REASON);
    row->reason = reason;
    result_measure_none(&row->measures);
}

drupelet_status sweep_write(sweep_job *job, const char *path, bool overwrite, int64_t *n_failed)
{
    store_sweep_head head;
    store_sweep_writer *writer = NULL;
    *n_failed = 0;
    fill_head(job, &head);
    store_sweep_row *row = malloc(STORE_SWEEP_BLOCK * sizeof *row);
    char(*reason)[SWEEP_REASON] = malloc(STORE_SWEEP_BLOCK * sizeof *reason);
    sweep_record *record = malloc(sizeof *record);
    char *level[SWEEP_FACTORS] = {0}; /* labels stand inside the levels: their addresses are listed here */
    drupelet_status status = row && reason && record ? base_ok() : no_memory();
    for (int f = 0; f < head.n_factors && status.code == DRUPELET_OK; f++) {
        sweep_factor *factor = &job->plan->factor[f];
        store_sweep_factor *out = &head.factor[f];
        *out = (store_sweep_factor){.name = factor->name, .key = factor->key,
                                    .units = (char *)(intptr_t)sweep_factor_unit(factor), .numeric = factor->numeric,
                                    .n_levels = factor->n_levels};
        out->level = malloc(((size_t)factor->n_levels + 1) * sizeof *out->level);
        level[f] = (char *)out->level;
        if (!out->level)
            status = no_memory();
        for (int k = 0; k < factor->n_levels && out->level; k++)
            out->level[k] = factor->level[k].label;
    }
    if (status.code == DRUPELET_OK) status = store_sweep_begin(&head, path, overwrite, &writer);
    for (int64_t c = 0; c < job->n_cases && status.code == DRUPELET_OK;) {
        int n = 0;
        for (; n < STORE_SWEEP_BLOCK && c < job->n_cases && status.code == DRUPELET_OK; n++, c++) {
            status = sweep_recall(job, c, record);
            fill_row(job, c, record, reason[n], &row[n]);
            *n_failed += row[n].reason != NULL;
        }
        if (status.code == DRUPELET_OK)
            status = store_sweep_add(writer, row, n);
        if (status.code == DRUPELET_OK && job->hooks.stop(job->hooks.user))
            status = base_error(DRUPELET_STOPPED, "stopped");
    }
    if (writer) {
        const drupelet_status end = store_sweep_end(writer, status.code == DRUPELET_OK);
        if (status.code == DRUPELET_OK)
            status = end;
    }
    for (int f = 0; f < head.n_factors; f++)
        free(level[f]);
    free(record);
    free(reason);
    free(row);
    return status;
}
