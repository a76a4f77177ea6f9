"""One function a command: joins the floors below."""
