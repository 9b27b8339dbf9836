"""The adapters: each library of sound and speech is known by one module here, and by nothing else."""
