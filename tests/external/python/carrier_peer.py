"""What is tagged as part of an aerodrome in an OpenStreetMap file, by pyosmium (libosmium): the peer of benches/carrier.rs.

Reads the file named by the one argument once; prints counts by the value of aeroway, processor seconds and the most memory held.
"""

import collections
import json
import sys
import time

import osmium


def main():
    before = time.process_time()
    counts = collections.Counter()
    for found in osmium.FileProcessor(sys.argv[1]).with_filter(osmium.filter.KeyFilter("aeroway")):
        counts[found.tags["aeroway"]] += 1
    spent = time.process_time() - before
    # Not the figure of getrusage, which begins with what the program held that started this one.
    with open("/proc/self/status") as status:
        peak_mib = next(int(line.split()[1]) / 1024 for line in status if line.startswith("VmHWM"))
    json.dump({"counts": counts, "processor_s": spent, "peak_mib": peak_mib}, sys.stdout)


main()
