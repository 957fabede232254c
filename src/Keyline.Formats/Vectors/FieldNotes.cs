using System.Text.Json;
using Keyline.Field;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Notes from the field: what was found and is to be avoided from now on, and ground that was set free.</summary>
/// <remarks>
/// <para>Units: WGS 84 longitude and latitude in; metres of the ground's coordinate system out. A feature with <c>"free": true</c> sets ground free and needs no setback; every other one
/// is read as an avoided area. Promises: what cannot be used is refused with one sentence. Cost: that of the text. Source: RFC 7946 (2016).</para>
/// </remarks>
public sealed class FieldNotes
{
    private FieldNotes(IReadOnlyList<AvoidedArea> found, IReadOnlyList<FreedGround> freed) => (Found, Freed) = (found, freed);

    /// <summary>What is to be avoided from now on.</summary>
    public IReadOnlyList<AvoidedArea> Found { get; }

    /// <summary>What may be worked from now on.</summary>
    public IReadOnlyList<FreedGround> Freed { get; }

    /// <summary>Reads notes from a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or a note cannot be used.</exception>
    public static FieldNotes Read(string path, GroundCrs crs) => From(GeoJsonFeatures.ReadFile(path, "notes"), Path.GetFileName(path), crs);

    /// <summary>Reads notes from a stream.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or a note cannot be used.</exception>
    public static FieldNotes Read(Stream stream, string name, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return From(GeoJsonFeatures.Read(stream, name), name, crs);
    }

    private static FieldNotes From(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(crs);
        List<GeoJsonFeature> found = [];
        List<FreedGround> freed = [];
        foreach (GeoJsonFeature feature in features.Where(f => !f.Shape.IsEmpty))
        {
            string where = FormattableString.Invariant($"{name}: note {feature.Number}");
            JsonElement free = default;
            bool says = feature.Properties.ValueKind == JsonValueKind.Object && feature.Properties.TryGetProperty("free", out free);
            if (says && free.ValueKind is not (JsonValueKind.True or JsonValueKind.False or JsonValueKind.Null))
            {
                throw new GroundDataException($"{where} has free {FieldReader.Printable(free.GetRawText())}; write true or false, without quotes.");
            }

            if (!says || free.ValueKind != JsonValueKind.True)
            {
                found.Add(feature);
                continue;
            }

            if (feature.NumberOf("setback_m") is not null)
            {
                throw new GroundDataException($"{where} is set free and has a setback as well: take one of the two out.");
            }

            Geometry shape = FieldReader.ToGround(feature.Shape, crs, name);
            freed.Add(shape.IsValid ? new FreedGround(shape, FieldReader.Printable(feature.Text("name") ?? "")) : throw new GroundDataException($"{where} crosses or touches itself; redraw it."));
        }

        return new FieldNotes(FieldReader.Avoided(found, name, crs), freed);
    }
}
