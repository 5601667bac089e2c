/* fuzz_measurements.c: files of measurements, and what is made of those that can be read. */
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct cc_measurements m;
    struct cc_findings findings;
    struct cc_error err;

    cc_measurements_init(&m);
    enum cc_status s = cc_measurements_read(&m, (const char *)data, size, "fuzz.csv", &err);
    if (s != CC_OK) {
        fuzz_check_error(&err, s);
        for (int kind = 0; kind < CC_MEASURED_KINDS; kind++)
            FUZZ_HOLDS(m.count[kind] == 0);
    } else {
        cc_findings_init(&findings);
        s = cc_findings_of(&findings, &m, 0, "fuzz.csv", &err);     /* cc_accuracy_of among it */
        if (s != CC_OK)
            fuzz_check_error(&err, s);
        cc_findings_clear(&findings);
    }
    cc_measurements_clear(&m);
    return 0;
}
