// Does nothing, with the shared libraries of kerfmark loaded: what it costs to start at all.
int main() { return 0; }
