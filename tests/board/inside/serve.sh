# shellcheck shell=sh
# Does what the host says, a line of shell at a time; read by the job, and ends with the word "end".
while read -r told; do
    [ "$told" != end ] || break
    sh -c "$told" >/run/answer 2>&1 </dev/null && code=0 || code=$?
    sed 's/^/= /' /run/answer
    printf '\ndone %s\n' "$code" # on a line of its own, whatever the answer ends with
done </dev/vport0p1
