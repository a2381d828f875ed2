import { expect, it } from 'vitest';
import { trainerKeyIn, trainerLink } from '#core/training/trainer-link';

it('the key comes back out of the link as it went in, whatever it is made of (RFC 3986, 3.5: the fragment is not sent)', () => {
  for (const key of ['abc', 'a+b/c=&d #?e', '100 %']) {
    for (const address of ['http://127.0.0.1:8080', 'http://truck.example:8080/']) {
      const link = new URL(trainerLink(address, key));
      expect(link.pathname + link.search).toBe('/');
      expect(trainerKeyIn(link.hash)).toBe(key);
    }
  }
  expect(trainerKeyIn('#/training/trainer')).toBeNull();
  expect(trainerKeyIn('#/training/trainer?key=')).toBeNull();
  expect(trainerKeyIn('#/training/trainer?key=%')).toBeNull();
  expect(trainerKeyIn('#/other?key=abc')).toBeNull();
});
