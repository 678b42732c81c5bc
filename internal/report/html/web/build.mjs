// Bundles the script of the HTML report. Run with: npm ci && npm run build
// The first line of the result holds the hash of what it was made from; a test of the
// Go package compares it, so that a change of the sources cannot be forgotten.
import {createHash} from 'node:crypto';
import {readFileSync, writeFileSync} from 'node:fs';
import {buildSync} from 'esbuild';

const sources = ['address.js', 'data.js', 'layers.js', 'list.js', 'main.js', 'package.json', 'places.js', 'shaders.js', 'turn.js', 'view.js'];
const hash = createHash('sha256');
for (const name of sources) hash.update(readFileSync(name));

const licence = readFileSync('node_modules/twgl.js/LICENSE.md', 'utf8').trim();
const result = buildSync({
  entryPoints: ['main.js'], bundle: true, minify: true, format: 'iife', target: 'es2020',
  charset: 'ascii', legalComments: 'none', write: false,
});
const script = result.outputFiles[0].text.trim();
if (/<\/script|<!--/i.test(script)) throw new Error('the script would end its own element');
const banner = `/* made from ${hash.digest('hex')}\nholds parts of twgl.js 7.0.0:\n${licence} */\n`;
writeFileSync('../assets/report.js', banner + script + '\n');
console.log(`${banner.length + script.length} bytes`);
