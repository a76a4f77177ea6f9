"""What people hand in, read into the model with every fault."""
