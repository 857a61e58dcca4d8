"""What a worker needs before its first task: loaded once, by the process that divides into workers.

Where pandas is there, pyarrow loads it with the first array made of numbers, for half a second of each worker.
"""

import numpy as np
import pyarrow as pa

from pitchline.fleet import run as run

pa.array(np.zeros(1))
