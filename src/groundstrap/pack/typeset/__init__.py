"""Setting a document in type: PDF and HTML from the same content."""
