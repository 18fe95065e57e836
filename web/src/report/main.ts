import { mount } from 'svelte';
import '../lib/css/base.css';
import { settings } from '../lib/settings.svelte';
import { readBlob } from './blob';
import Report from './Report.svelte';

const blob = readBlob(document);
if (blob?.show?.units) settings.units = blob.show.units;
if (blob?.show?.region) settings.region = blob.show.region;
const target = document.getElementById('app');
if (target) mount(Report, { target, props: { blob } });
