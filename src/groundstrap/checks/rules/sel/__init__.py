"""Series: one fuse behind the other."""
