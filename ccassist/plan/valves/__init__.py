"""The cam card, the valves over the pistons, and the pockets they need."""
