# The help on everything. Compared with help.out: read it as a newcomer would.
for topic in "" check show state endurance shed draw card schema run; do
    echo "\$ deadbus help $topic"
    "$DEADBUS" help $topic
    echo
done
