/* A small invented site as JSON, for the tests of the door. */
#ifndef PW_TEST_FARM_H
#define PW_TEST_FARM_H

/* everything but the order */
#define FARM_BODY                                                                                                  \
    "\"site\":\"Farmhouse\",\"invented\":true,"                                                                    \
    "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"3 m\"},"                      \
    "{\"name\":\"house\",\"level\":\"8 m\"}],"                                                                     \
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0.5 m\","          \
    "\"intake\":\"2 m\"}],"                                                                                        \
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"curve\":["                                   \
    "{\"flow\":\"0 L/min\",\"head\":\"52 m\",\"efficiency\":\"0 %\"},"                                             \
    "{\"flow\":\"30 L/min\",\"head\":\"45 m\",\"efficiency\":\"45 %\"},"                                           \
    "{\"flow\":\"60 L/min\",\"head\":\"24 m\",\"efficiency\":\"38 %\"}],"                                          \
    "\"motor\":{\"power\":\"0.75 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"                                      \
    "\"lines\":[{\"from\":\"shed\",\"to\":\"house\",\"pipe\":\"PE100 32 SDR 11\",\"length\":\"60 m\"}],"           \
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"60 L\",\"precharge\":\"180 kPa\"}],"           \
    "\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"100 kPa\"}],"                                    \
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\","                \
    "\"to\":\"1000 kPa\"}],"                                                                                       \
    "\"demand\":[{\"outlet\":\"taps\",\"flow\":\"12 L/min\",\"for\":\"5 min\",\"at\":\"07:00\",\"every\":\"2 h\"," \
    "\"until\":\"21:00\"}],"

#define FARM                                                                                                  \
    "{" FARM_BODY "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 350 kPa\"," \
    "\"lock out when running for 20 min\"]}"

#endif
