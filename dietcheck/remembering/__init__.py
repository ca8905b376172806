"""What is kept from run to run, so that nothing is worked out twice; it only ever saves time.

Everything kept is found under a digest of all that it hangs on, so it is never out of date: at
worst it is not found.
"""
