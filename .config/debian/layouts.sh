# Sourced into the maintainer scripts. The layout of a store is SQLite's user_version: four bytes at offset 60. Services are
# stopped when it is read, and the last to close a store leaves its log empty.
layout_of() {
  od -An -N4 -j60 -tu1 "$1" 2>/dev/null | { read -r a b c d || true; echo $(((a * 256 + b) * 65536 + c * 256 + d)); }
}
stores() {
  for file in /var/lib/girthlog/dashboard/dashboard.sqlite3; do
    [ -s "$file" ] && echo "@DASHBOARD_LAYOUT@ $file"
  done
  for file in /var/lib/girthlog/edge/*/edge.db; do
    [ -s "$file" ] && echo "@EDGE_LAYOUT@ $file"
  done
  return 0
}
is_systemd() { [ -d /run/systemd/system ]; }
running() {
  systemctl list-units --plain --no-legend --state=active,activating,reloading \
    'girthlog-edge@*.service' 'girthlog-ingest@*.service' girthlog-dashboard.service girthlog-backup-check.timer 2>/dev/null | awk '{print $1}'
}
