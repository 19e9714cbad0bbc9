"""What is printed: blank test cards."""
