"""What validation/report.py is made of: tables read, compared with upline, and written down."""
