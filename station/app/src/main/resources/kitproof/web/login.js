// The server sends back here with ?wrong after a token it does not know.
document.getElementById('wrong').hidden = !location.search.startsWith('?wrong');
document.getElementById('token').focus();
