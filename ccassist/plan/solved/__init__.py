"""One or two unknowns found from what they must reach, for every cylinder of a job."""
