"""What is on disk: session files, the register, sheets and blade sets."""
