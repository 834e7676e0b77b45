/* Times GEOS' buffer from C, so that no interpreter is in the figure.

   gcc -O2 -o geos geos.c -l:libgeos_c.so.1 -lm        the C API is declared here: headers are not needed
   geos SECONDS < lines of "d quarter-steps WKB-hex"    > CPU microseconds of one buffer, and of one with a validity check

   One context, geometry read beforehand, CPU time of the process. */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

typedef void *ctx;
ctx GEOS_init_r(void);
void *GEOSWKBReader_create_r(ctx);
void *GEOSWKBReader_readHEX_r(ctx, void *, const unsigned char *, size_t);
void *GEOSBuffer_r(ctx, const void *, double, int);
char GEOSisValid_r(ctx, const void *);
void GEOSGeom_destroy_r(ctx, void *);

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return t.tv_sec + 1e-9 * t.tv_nsec;
}

static double timed(ctx c, const void *shape, double d, int steps, int check, double seconds) {
    double begin = now(), spent;
    long rounds = 0;
    do {
        void *made = GEOSBuffer_r(c, shape, d, steps);
        if (made == NULL || (check && GEOSisValid_r(c, made) != 1))
            return -1;
        GEOSGeom_destroy_r(c, made);
        rounds++;
        spent = now() - begin;
    } while (spent < seconds);
    return spent / rounds;
}

int main(int argc, char **argv) {
    double seconds = argc > 1 ? atof(argv[1]) : 0.2;
    ctx c = GEOS_init_r();
    void *reader = GEOSWKBReader_create_r(c);
    char *line = NULL;
    size_t room = 0;
    while (getline(&line, &room, stdin) > 0) {
        double d;
        int steps, at;
        if (sscanf(line, "%lf %d %n", &d, &steps, &at) != 2)
            return 1;
        void *shape = GEOSWKBReader_readHEX_r(c, reader, (unsigned char *)line + at, strcspn(line + at, "\n"));
        if (shape == NULL)
            return 1;
        printf("%.3f %.3f\n", 1e6 * timed(c, shape, d, steps, 0, seconds), 1e6 * timed(c, shape, d, steps, 1, seconds));
        GEOSGeom_destroy_r(c, shape);
    }
    return 0;
}
