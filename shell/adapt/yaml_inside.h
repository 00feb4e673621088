/* Shared by the files that read YAML only. */
#ifndef PW_ADAPT_YAML_INSIDE_H
#define PW_ADAPT_YAML_INSIDE_H

/* Ids of messages for what libyaml says (NULL: nothing): the problem, "adapt.yaml-broken" for one that is not known;
 * and where it was, "" likewise. */
const char *pw_yaml_message(const char *said);
const char *pw_yaml_context(const char *said);

#endif
