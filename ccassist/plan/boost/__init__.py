"""The turbo target: a job's boost told, solved for, and set against a baseline."""
