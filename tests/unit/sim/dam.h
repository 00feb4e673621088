/* Pieces of an invented site: a dam, a pump at its edge, a hill 20 m above. Its suction costs next to nothing. */
#ifndef PW_TEST_DAM_H
#define PW_TEST_DAM_H

#define DAM_WATER                                                                               \
    "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"},"   \
    "{\"name\":\"hill\",\"level\":\"20 m\"}],"                                                  \
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":" \
    "\"1 m\",\"intake\":\"2 m\"}],"
/* The motor's other keys and "}}]," come behind it. */
#define DAM_PUMP                                                      \
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\"," \
    "\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"60 m\",\"power\":"   \
    "\"700 W\"},{\"flow\":\"40 L/min\",\"head\":\"50 m\",\"power\":"  \
    "\"900 W\"},{\"flow\":\"80 L/min\",\"head\":\"20 m\",\"power\":"  \
    "\"1100 W\"}],\"motor\":{\"power\":\"1.1 kW\",\"voltage\":\"230 V\""
/* The line's other keys and "}]," come behind it. */
#define DAM_MAIN                                                                                     \
    "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"hill\",\"bore\":\"40 mm\",\"length\":" \
    "\"100 m\",\"roughness\":\"0.01 mm\""
#define DAM_TAP "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\",\"needs\":\"0 kPa\"}],"
#define DAM_DESIGN \
    "\"design\":{\"suction\":{\"bore\":\"1 m\",\"length\":\"0.1 m\",\"foot valve\":false,\"strainer\":false}}"

#endif
