#pragma once

#define RTLD_NOW 0x00002
#define RTLD_GLOBAL 0x00100

void *dlopen(const char *path, int flags);
void *dlsym(void *library, const char *symbol);
int dlclose(void *library);
char *dlerror(void);
