import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { encrypted, hostAllowed, isLoopback, ownPage, readOrigin } from '../../src/server/exposure.ts';
import { readGolden } from '../golden.ts';

const local = { network: false, origins: [] };
const network = { network: true, origins: [] };
const proxied = { network: true, origins: ['https://mesh.example.org'] };

describe('isLoopback', () => {
  it('agrees with the address blocks of the standards', () => {
    for (const { address, loopback } of readGolden('loopback-addresses.csv').rows)
      expect([address, isLoopback(address!)]).toEqual([address, loopback === 'yes']);
  });
});

describe('hostAllowed: DNS rebinding', () => {
  it('on the machine itself only its own names count', () => {
    for (const host of ['127.0.0.1:7468', 'localhost:7468', 'LOCALHOST', '[::1]:7468', '127.8.0.1'])
      expect([host, hostAllowed(host, local)]).toEqual([host, true]);
    for (const host of [
      'evil.example',
      'localhost.evil.example',
      '192.168.1.7:7468',
      '127.0.0.1.nip.example',
      '0.0.0.0',
    ])
      expect([host, hostAllowed(host, local)]).toEqual([host, false]);
  });

  it('on a network bare addresses count too, names only when they are told', () => {
    for (const host of ['192.168.1.7:7468', '[fe80::1]:7468', '10.0.0.1'])
      expect([host, hostAllowed(host, network)]).toEqual([host, true]);
    expect(hostAllowed('mesh.example.org', network)).toBe(false);
    expect(hostAllowed('mesh.example.org', proxied)).toBe(true);
    expect(hostAllowed('mesh.example.org:8080', proxied)).toBe(false);
  });

  it('what is no host is refused', () => {
    for (const host of [undefined, '', 'a b', 'localhost@evil.example', 'localhost/evil', 'localhost:999999', '[::1'])
      expect([host, hostAllowed(host, proxied)]).toEqual([host, false]);
  });
});

describe('ownPage: forged requests', () => {
  const page = (origin?: string, site?: string) => ownPage(origin, site, '127.0.0.1:7468', local);
  it('own pages and programs may ask', () => {
    expect(page()).toBe(true);
    expect(page('http://127.0.0.1:7468', 'same-origin')).toBe(true);
    expect(page(undefined, 'none')).toBe(true);
  });
  it('other pages may not, be it another port, another scheme of site, or none', () => {
    for (const origin of ['http://127.0.0.1:3000', 'http://localhost:7468', 'https://evil.example', 'null', ''])
      expect([origin, page(origin)]).toEqual([origin, false]);
    expect(page(undefined, 'cross-site')).toBe(false);
    expect(page('http://127.0.0.1:7468', 'same-site')).toBe(false);
  });
  it('behind a proxy its address is the own one', () => {
    expect(ownPage('https://mesh.example.org', 'same-origin', 'mesh.example.org', proxied)).toBe(true);
    expect(ownPage('https://mesh.example.net', undefined, 'mesh.example.org', proxied)).toBe(false);
  });
});

describe('readOrigin', () => {
  it('takes scheme and host alone', () => {
    expect(readOrigin('https://Mesh.example.org/')).toBe('https://mesh.example.org');
    expect(readOrigin('http://10.0.0.2:80')).toBe('http://10.0.0.2');
    for (const text of ['mesh.example.org', 'https://a.example/x', 'ftp://a.example', 'https://u:p@a.example', ''])
      expect(() => readOrigin(text)).toThrow(UserError);
  });
  it('the cookie is kept to encrypted ways when all ways are', () => {
    expect([local, network, proxied].map(encrypted)).toEqual([false, false, true]);
    expect(encrypted({ network: true, origins: ['https://a.example', 'http://b.example'] })).toBe(false);
  });
});
