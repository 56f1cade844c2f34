"""The incremental build engine: tasks, tracked reads, traces, a result store and executors."""
