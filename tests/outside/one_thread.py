"""Import this before numpy: its linear algebra then runs on one thread.

Matrices here are 2 by 2 and thousands in number; with more threads they wait for each other, many
times longer than they compute.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
