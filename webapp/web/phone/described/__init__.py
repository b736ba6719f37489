"""What the JSON API takes and gives, said beside each route and put together as an OpenAPI description."""
