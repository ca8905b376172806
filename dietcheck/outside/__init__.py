"""What lies outside the program: files, git, the terminal. Read and written, not understood.

Nothing here imports more than a bare Python has loaded, or nearly: an answer that is remembered
needs these modules and no others.
"""
