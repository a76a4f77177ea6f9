"""What people are handed: workbooks and pages."""
