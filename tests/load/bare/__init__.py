"""What the site's exchange is measured against: a bare view that writes the same two rows."""
