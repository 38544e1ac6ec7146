"""What leaves the book as a document or a drawing."""
