#pragma once

int *__errno(void);
#define errno (*__errno())

#define EPERM 1
#define ENOENT 2
#define EINTR 4
#define EIO 5
#define EAGAIN 11
#define EACCES 13
#define EBUSY 16
#define EEXIST 17
#define EISDIR 21
#define EINVAL 22
#define ENOSPC 28
#define ERANGE 34
#define ENOLCK 37
#define ENOTSUP 95
#define EOPNOTSUPP 95
#define EOVERFLOW 75
#define ETIMEDOUT 110
