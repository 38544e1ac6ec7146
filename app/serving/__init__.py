"""What serving with TLS takes: the server's names, the site's authority, and the certificate it gives the server."""
