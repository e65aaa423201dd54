/* SQLite is built without its own checks. */
#undef assert
#define assert(condition) ((void)0)
