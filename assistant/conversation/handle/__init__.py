"""What each request does: (shop, request, moment) -> outcome."""
