/* A difference shared among the parts that make it.
 *
 * n parts, each taken or not, make 2^n runs; value[s] is one result of the run with the parts whose bits are set in s.
 * The share of a part is what it adds, averaged over all orders in which the parts can be taken (Shapley 1953, "A value
 * for n-person games"):
 *
 *   share_i = sum over S without i of |S|! (n - |S| - 1)! / n!  (v(S + i) - v(S))
 *
 * The shares add up to v(all) - v(none), and no order of the parts counts more than another.
 *
 * The interaction of two parts is what both together add beyond what each adds alone, averaged in the same way over
 * what else is there (Grabisch and Roubens 1999, Int. J. Game Theory 28:547):
 *
 *   pair_ij = sum over S without i, j of |S|! (n - |S| - 2)! / (n - 1)!  (v(S + ij) - v(S + i) - v(S + j) + v(S)) */
#include "pinery/study.h"

static int members(int set) {
    int n = 0;
    for (; set > 0; set &= set - 1) {
        n++;
    }
    return n;
}

/* s! (n - 1 - s)! / n!, which is 1 / (n C(n - 1, s)). */
static double weight(int n, int s) {
    double choices = 1.0;
    for (int i = 0; i < s; i++) {
        choices = choices * (n - 1 - i) / (i + 1);
    }
    return 1.0 / (n * choices);
}

void pinery_study_shapley(int n, const double value[], double share[]) {
    for (int i = 0; i < n; i++) {
        share[i] = 0.0;
        for (int set = 0; set < 1 << n; set++) {
            if (!(set & 1 << i)) {
                share[i] += weight(n, members(set)) * (value[set | 1 << i] - value[set]);
            }
        }
    }
}

double pinery_study_interaction(int n, const double value[], int i, int j) {
    double pair = 0.0;
    int a = 1 << i, b = 1 << j;
    for (int set = 0; set < 1 << n; set++) {
        if (!(set & (a | b))) {
            pair += weight(n - 1, members(set)) * (value[set | a | b] - value[set | a] - (value[set | b] - value[set]));
        }
    }
    return pair;
}
