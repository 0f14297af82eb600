"""How many small faults of the arithmetic the tests find: mutants of four rooms, and who kills them.

Run from the project's folder, in an environment with the package and its tests' libraries installed:

    python -m tests.benchmarks.mutation [COUNT] [SEED] [FIRST]

``places`` finds where a line may be changed so that it says something else;
``run`` draws COUNT of these by SEED (and leaves out those before the FIRST),
makes the change in a copy of the tree, and runs the tests of the mutant's own
room: those of its module first, then the others with the references that name
the room; each lot stops at the first failure, and after 60 s of processor time.
``equivalent.txt`` lists by hand the mutants that change nothing, each with its
reason; they are neither run nor counted.

No part of the suite: it takes a processor second or two for a mutant that dies,
a minute for one that lives.
"""
