/* scans.h - the scanned files that documents name, by checksum alone. */
#ifndef LW_COMMAND_SCANS_H
#define LW_COMMAND_SCANS_H

#include "command/session.h"

/* Most bytes of one scanned file that are read; a larger one counts as not there. */
#define SCAN_BYTES_MOST (64u * 1024u * 1024u)

/* For each document with a checksum and a scan: where the file stands beside the record file (or,
 * for the book, in the working folder), its SHA-256 goes into rec_document.scan_sha256. A file that
 * is not there, is no regular file, or whose name leads out of the folder is passed over: nothing
 * else of it is ever read. false when memory or the database failed. */
bool session_check_scans(struct session *s);

#endif
