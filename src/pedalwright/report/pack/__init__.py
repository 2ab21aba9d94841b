"""The build document: everything a builder needs on paper, made from the circuit's text and nothing else."""
