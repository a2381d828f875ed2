/** MQTT 3.1.1 packets by hand (OASIS MQTT 3.1.1, chapters 2 and 3), so that they can be wrong in any way. */

const text = (value: string): number[] => {
  const bytes = [...new TextEncoder().encode(value)];
  return [bytes.length >> 8, bytes.length & 255, ...bytes];
};

/** Fixed header with the remaining length, 7 bits a byte, least significant first (2.2.3). */
export function packet(firstByte: number, body: readonly number[]): number[] {
  const length: number[] = [];
  let rest = body.length;
  do {
    const digit = rest % 128;
    rest = Math.floor(rest / 128);
    length.push(rest > 0 ? digit | 128 : digit);
  } while (rest > 0);
  return [firstByte, ...length, ...body];
}

export const connect = (clientId: string, flags = 2, name = 'MQTT', level = 4): number[] =>
  packet(0x10, [...text(name), level, flags, 0, 10, ...text(clientId)]);

export const publish = (topic: string, payload: readonly number[], qos: number, id = 1): number[] =>
  packet(0x30 | (qos << 1), [...text(topic), ...(qos > 0 ? [id >> 8, id & 255] : []), ...payload]);

export const subscribe = (filter: string, qos: number, id = 1): number[] =>
  packet(0x82, [id >> 8, id & 255, ...text(filter), qos]);

export const PINGREQ = packet(0xc0, []);
export const DISCONNECT = packet(0xe0, []);
