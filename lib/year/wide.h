/* Loops over numbers side by side. EACH says that no turn of the loop after it reads what another writes, so that a
 * compiler may do several at once. UNROLL: four turns in one, of a short loop that runs long. A function marked WIDE
 * has one version for every x86-64 and two for those of the last ten years, with four or eight numbers side by side,
 * chosen when the library is loaded; the numbers that come out are the same. */
#ifndef PINERY_YEAR_WIDE_H
#define PINERY_YEAR_WIDE_H

#if defined(__clang__)
#define PINERY_YEAR_EACH _Pragma("clang loop vectorize(assume_safety)")
#define PINERY_YEAR_UNROLL _Pragma("clang loop unroll_count(4)")
#elif defined(__GNUC__)
#define PINERY_YEAR_EACH _Pragma("GCC ivdep")
#define PINERY_YEAR_UNROLL _Pragma("GCC unroll 4")
#else
#define PINERY_YEAR_EACH
#define PINERY_YEAR_UNROLL
#endif

#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__)
#define PINERY_YEAR_WIDE __attribute__((target_clones("default", "avx2", "avx512f")))
#else
#define PINERY_YEAR_WIDE
#endif

/* Four numbers side by side, wherever they stand. */
enum { PINERY_YEAR_BLOCK = 4 };
typedef double pinery_year_block
    __attribute__((vector_size(PINERY_YEAR_BLOCK * sizeof(double)), aligned(sizeof(double)), may_alias));

/* Eight: as many as fit a line of a processor's cache. */
enum { PINERY_YEAR_LINE = 8 };
typedef double pinery_year_line
    __attribute__((vector_size(PINERY_YEAR_LINE * sizeof(double)), aligned(sizeof(double)), may_alias));

#endif
