"""One file a check; being here is being registered."""
