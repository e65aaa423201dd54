/* What std asks of an unwinder where a panic ends the program: there is no stack to walk. An NDK has a
   real one. */
typedef int (*step)(void *context, void *with);

int _Unwind_Backtrace(step each, void *with) {
    (void)each;
    (void)with;
    return 5; /* _URC_END_OF_STACK */
}

unsigned long _Unwind_GetIP(void *context) {
    (void)context;
    return 0;
}
