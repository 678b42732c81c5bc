import {block} from './data.js';
import {layers} from './layers.js';
import {list} from './list.js';
import {copying, places} from './places.js';
import {turning} from './turn.js';

layers();
list(block('list')?.models);
places();
copying();
turning();
