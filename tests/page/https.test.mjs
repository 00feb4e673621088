// Over HTTPS from this machine, with the certificate that the program makes for the run: the page computes, stores itself, and works when the
// server has gone. The browser of this test takes this one certificate as good (as a phone does that was told to trust it), and no other.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { createHash, X509Certificate } from 'node:crypto';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { connect } from 'node:tls';
import { before, test } from 'node:test';
import { browse, built, native, needed, newProfile, settled } from './kit.mjs';

before(needed);

async function serveSecurely(t) {
  const child = spawn(native, ['serve', '--https', '--port', '0', '--page', join(built, 'page')], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = once(child, 'exit');
  const stop = async () => { child.kill('SIGTERM'); await ended; };
  t.after(stop);
  const told = { url: '', fingerprint: '' };
  for await (const line of createInterface({ input: child.stdout })) {
    told.url ||= /https:\/\/[\w.:[\]]+\//.exec(line)?.[0] ?? '';
    told.fingerprint ||= /^(?:[0-9A-F]{2}:){31}[0-9A-F]{2}$/.exec(line)?.[0] ?? '';
    if (/Ctrl-C/.test(line)) break;
  }
  return { ...told, stop };
}

/** The certificate that stands behind an address, whatever it is worth. */
async function certificateOf(url) {
  const { hostname, port } = new URL(url);
  const line = connect({ host: hostname, port: Number(port), rejectUnauthorized: false });
  await once(line, 'secureConnect');
  const found = new X509Certificate(line.getPeerCertificate().raw);
  line.destroy();
  return found;
}

test('over HTTPS the page stores itself, and works when the server and its certificate are gone', async (t) => {
  const server = await serveSecurely(t);
  const certificate = await certificateOf(server.url);
  assert.equal(certificate.fingerprint256, server.fingerprint, 'what is printed is what a browser shows');
  const key = createHash('sha256').update(certificate.publicKey.export({ type: 'spki', format: 'der' })).digest('base64');

  const stranger = await browse();
  t.after(stranger.close);
  await assert.rejects(stranger.page.goto(server.url), /ERR_CERT_AUTHORITY_INVALID/, 'a browser that was told nothing refuses');

  const profile = await newProfile();
  const trusts = [`--ignore-certificate-errors-spki-list=${key}`];
  const { page, wrong, close } = await browse({ profile, more: trusts, viewport: { width: 390, height: 844 } });
  t.after(() => close());
  await page.goto(server.url);
  assert.equal(await page.evaluate(() => isSecureContext), true);
  await settled(page);
  await page.getByText('Works without a network.').waitFor();
  assert.deepEqual(wrong, []);
  await server.stop();
  await page.reload();
  await page.locator('.bar').waitFor();
  await settled(page);
  assert.match(await page.locator('.verdict-line b').innerText(), /^The healthy site is /);
});
