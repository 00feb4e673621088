/* Photos for the papers, as the page keeps them: turned as the camera was held, at most 1280 pixels long, written anew,
 * so that they carry no place and no device with them. Through gdk-pixbuf; without it *why says so.
 */
#ifndef PW_CLI_PHOTO_H
#define PW_CLI_PHOTO_H

/* The photo as a data address of a JPEG, to be freed with free; NULL when the file is none, then *why is the id of a
 * message. */
char *cli_photo(const char *path, const char **why);

#endif
