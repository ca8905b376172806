"""No test uses what an earlier run remembered, nor leaves anything in the user's folder for it."""

import os

os.environ["DIETCHECK_ANEW"] = "1"  # tests of the remembering itself take it out again
