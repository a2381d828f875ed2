/** MQTT topic filters, OASIS MQTT 3.1.1 section 4.7. */

/** True for a topic name a message may be published to: no wildcard, no U+0000, 1 to 65,535 bytes. */
export function isTopicName(topic: string): boolean {
  return isTopicText(topic) && !/[+#]/.test(topic);
}

/** True for a filter with `+` alone in its level and `#` alone in the last one. */
export function isTopicFilter(filter: string): boolean {
  if (!isTopicText(filter)) return false;
  const levels = filter.split('/');
  return levels.every(
    (level, index) => !/[+#]/.test(level) || level === '+' || (level === '#' && index === levels.length - 1),
  );
}

function isTopicText(text: string): boolean {
  // At most 4 bytes a character pair, so most texts need no counting.
  return text.length >= 1 && !text.includes('\u0000') && utf8Length(text) <= 65_535;
}

function utf8Length(text: string): number {
  let bytes = 0;
  for (const character of text) {
    const code = character.codePointAt(0)!;
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x1_0000 ? 3 : 4;
  }
  return bytes;
}

/** Does a topic fall under a filter? A wildcard at the start passes over topics that begin with `$`. */
export function matchesFilter(filter: string, topic: string): boolean {
  if (topic.startsWith('$') && /^[+#]/.test(filter)) return false;
  const wanted = filter.split('/');
  const levels = topic.split('/');
  for (let i = 0; i < wanted.length; i++) {
    if (wanted[i] === '#') return true;
    if (i >= levels.length) return false;
    if (wanted[i] !== '+' && wanted[i] !== levels[i]) return false;
  }
  return wanted.length === levels.length;
}
