"""From a job to the engine as measured: which value counts, what follows from it, what is worth saying."""
