"""The only folder that knows Flask. A family of pages is a module with a blueprint; none imports another."""
