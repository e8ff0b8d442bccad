"""What a finished piece came to, as a paper and as a workbook."""
