/* KLU and CHOLMOD behind eight functions, so that the layout of their structures stays in C.
 *
 * Every function that can fail gives a null pointer or zero when it does. Without WITH_SUITESPARSE
 * nothing can be made, and so nothing else is ever called.
 */

#include <stddef.h>

#ifdef WITH_SUITESPARSE

#include <stdlib.h>
#include <suitesparse/cholmod.h>
#include <suitesparse/klu.h>

struct klu_peer {
    int n;
    int *start;
    int *row;
    klu_common common;
    klu_symbolic *symbolic;
    klu_numeric *numeric;
};

void peer_klu_free(struct klu_peer *peer)
{
    klu_free_numeric(&peer->numeric, &peer->common);
    klu_free_symbolic(&peer->symbolic, &peer->common);
    free(peer);
}

/* Orders and factorises; `start` and `row` must outlive the peer. Rows are scaled, KLU's default, if asked. */
struct klu_peer *peer_klu_new(int n, int *start, int *row, double *values, int scaled)
{
    struct klu_peer *peer = calloc(1, sizeof *peer);
    if (!peer) return NULL;
    peer->n = n;
    peer->start = start;
    peer->row = row;
    klu_defaults(&peer->common);
    if (!scaled) peer->common.scale = -1;
    peer->symbolic = klu_analyze(n, start, row, &peer->common);
    if (peer->symbolic)
        peer->numeric = klu_factor(start, row, values, peer->symbolic, &peer->common);
    if (!peer->numeric) {
        peer_klu_free(peer);
        return NULL;
    }
    return peer;
}

/* Factorises other values in the same order and with the same pivots. */
int peer_klu_refactor(struct klu_peer *peer, double *values)
{
    return klu_refactor(peer->start, peer->row, values, peer->symbolic, peer->numeric, &peer->common);
}

/* Solves in place. */
int peer_klu_solve(struct klu_peer *peer, double *right)
{
    return klu_solve(peer->symbolic, peer->numeric, peer->n, 1, right, &peer->common);
}

struct cholmod_peer {
    cholmod_sparse matrix;
    cholmod_dense right;
    cholmod_common common;
    cholmod_factor *factor;
    cholmod_dense *answer, *first, *second;
};

void peer_cholmod_free(struct cholmod_peer *peer)
{
    cholmod_free_dense(&peer->answer, &peer->common);
    cholmod_free_dense(&peer->first, &peer->common);
    cholmod_free_dense(&peer->second, &peer->common);
    cholmod_free_factor(&peer->factor, &peer->common);
    cholmod_finish(&peer->common);
    free(peer);
}

/* Orders the upper triangle by approximate minimum degree; `start` and `row` must outlive the peer. */
struct cholmod_peer *peer_cholmod_new(int n, int *start, int *row, int simplicial)
{
    struct cholmod_peer *peer = calloc(1, sizeof *peer);
    if (!peer) return NULL;
    cholmod_start(&peer->common);
    peer->common.print = 0;
    peer->common.nmethods = 1;
    peer->common.method[0].ordering = CHOLMOD_AMD;
    peer->common.supernodal = simplicial ? CHOLMOD_SIMPLICIAL : CHOLMOD_AUTO;
    peer->matrix = (cholmod_sparse){
        .nrow = n, .ncol = n, .nzmax = start[n], .p = start, .i = row, .stype = 1,
        .itype = CHOLMOD_INT, .xtype = CHOLMOD_PATTERN, .dtype = CHOLMOD_DOUBLE, .sorted = 1, .packed = 1,
    };
    peer->right = (cholmod_dense){
        .nrow = n, .ncol = 1, .nzmax = n, .d = n, .xtype = CHOLMOD_REAL, .dtype = CHOLMOD_DOUBLE,
    };
    peer->factor = cholmod_analyze(&peer->matrix, &peer->common);
    if (!peer->factor) {
        peer_cholmod_free(peer);
        return NULL;
    }
    return peer;
}

int peer_cholmod_factor(struct cholmod_peer *peer, double *values)
{
    peer->matrix.x = values;
    peer->matrix.xtype = CHOLMOD_REAL;
    return cholmod_factorize(&peer->matrix, peer->factor, &peer->common) && peer->common.status == CHOLMOD_OK;
}

/* Solves with memory kept from one call to the next; the answer lies in CHOLMOD's own memory. */
const double *peer_cholmod_solve(struct cholmod_peer *peer, double *right)
{
    peer->right.x = right;
    if (!cholmod_solve2(CHOLMOD_A, peer->factor, &peer->right, NULL, &peer->answer, NULL, &peer->first,
                        &peer->second, &peer->common))
        return NULL;
    return peer->answer->x;
}

/* Versions of KLU, CHOLMOD and the collection, three numbers each. */
int peer_versions(int *numbers)
{
    numbers[0] = KLU_MAIN_VERSION, numbers[1] = KLU_SUB_VERSION, numbers[2] = KLU_SUBSUB_VERSION;
    cholmod_version(numbers + 3);
    SuiteSparse_version(numbers + 6);
    return 1;
}

#else

struct klu_peer;
struct cholmod_peer;

void peer_klu_free(struct klu_peer *peer) { (void)peer; }
struct klu_peer *peer_klu_new(int n, int *s, int *r, double *v, int k)
{
    (void)n, (void)s, (void)r, (void)v, (void)k;
    return NULL;
}
int peer_klu_refactor(struct klu_peer *peer, double *v) { (void)peer, (void)v; return 0; }
int peer_klu_solve(struct klu_peer *peer, double *r) { (void)peer, (void)r; return 0; }
void peer_cholmod_free(struct cholmod_peer *peer) { (void)peer; }
struct cholmod_peer *peer_cholmod_new(int n, int *s, int *r, int k) { (void)n, (void)s, (void)r, (void)k; return NULL; }
int peer_cholmod_factor(struct cholmod_peer *peer, double *v) { (void)peer, (void)v; return 0; }
const double *peer_cholmod_solve(struct cholmod_peer *peer, double *r) { (void)peer, (void)r; return NULL; }
int peer_versions(int *numbers) { (void)numbers; return 0; }

#endif
