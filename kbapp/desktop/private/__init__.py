"""The private record of a case on screen: who the customer is and what identifies the vehicle."""
