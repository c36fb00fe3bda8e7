// A mesh seen straight from above, flat: where it stands over the bed, and how high.
in vec3 position;
uniform vec3 from_corner;    // the mesh's middle, from the lower left corner of the map on the bed, mm
uniform vec2 span_mm;        // size of the map
out float height_mm;

void main() {
    vec3 place = position + from_corner;
    height_mm = place.z;
    gl_Position = vec4(place.xy / span_mm * 2.0 - 1.0, 0.0, 1.0);
}
