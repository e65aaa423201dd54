/* Included by SQLite, which uses nothing of it here. */
#pragma once
