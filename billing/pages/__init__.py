"""What clients and the office see that is no JSON: pages, and documents on paper."""
