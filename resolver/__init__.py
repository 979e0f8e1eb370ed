"""Pure numbers and rules: attacks rolled, reckoned and explained. No files, clock, randomness or async."""

import os

# The tables are small: one thread is the quickest even on an idle machine, and on a busy one several threads of the
# linear algebra below numpy wait for each other, spinning. It reads this when numpy is first imported.
for _threads in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")
