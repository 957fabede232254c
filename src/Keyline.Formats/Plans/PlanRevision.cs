using System.Text.Json;
using Keyline.Check;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes a plan's files once more where a part of it was revised.</summary>
/// <remarks>
/// <para>Units: as <see cref="PlanGeoJson"/>. Missing: what was measured along a line's old course is null for its new one, but for the length.</para>
/// <para>Promises: every feature that did not change is written with the very bytes it had; order and all other members stay. The notes come as features of kind <c>avoid</c>, and
/// their file among the inputs. The same plan and notes give the same bytes.</para>
/// <para>Cost: that of the text. Source: RFC 7946 (2016); docs/formats.md.</para>
/// </remarks>
public static class PlanRevision
{
    // What stays true of a line whatever its course.
    private static readonly HashSet<string> Kept = ["kind", "id", "sequence", "guide", "side", "offset_m"];

    // What stays true of a summary: where the plan comes from and what it was asked for.
    private static readonly HashSet<string> KeptOfSummary = ["format", "field", "landform", "smoothing", "assumed", "warnings", "cautions", "version", "crs", "options"];

    /// <summary>Writes the revised plan.geojson.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="planPath">The plan as it was.</param>
    /// <param name="crs">The projected system of its metres.</param>
    /// <param name="revision">What was made of it.</param>
    /// <param name="notes">The files of what was found.</param>
    /// <exception cref="GroundDataException">The plan is none of ours.</exception>
    public static void Write(Stream stream, string planPath, GroundCrs crs, LayoutRevision revision, IReadOnlyList<PlanInput> notes)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(revision);
        ArgumentNullException.ThrowIfNull(notes);
        using JsonDocument plan = Read(planPath);
        if (!plan.RootElement.TryGetProperty("features", out JsonElement features) || !plan.RootElement.TryGetProperty("keyline", out JsonElement ours) || ours.ValueKind != JsonValueKind.Object)
        {
            throw new GroundDataException($"{Path.GetFileName(planPath)} is no plan of keyline plan, so its lines cannot be revised: give the plan.geojson that keyline plan wrote.");
        }

        ILookup<string, RevisedLine> lines = revision.Lines.ToLookup(l => l.Source);
        HashSet<string> changed = [.. revision.Changes.Select(c => c.Line)];
        Queue<AvoidedArea?> avoided = new(revision.Freed?.Avoided ?? []);
        int numbered = features.EnumerateArray().Where(f => Text(f, "kind") == "avoid").Select((f, i) => Math.Max(i + 1, Number(Text(f, "id")))).DefaultIfEmpty(0).Max();
        int kept = revision.Freed is { } freed ? freed.Field.Avoided.Count : features.EnumerateArray().Count(f => Text(f, "kind") == "avoid");
        JsonElement? pattern = features.EnumerateArray().Where(f => Text(f, "kind") == "rip-line").Select(f => (JsonElement?)f.GetProperty("properties")).LastOrDefault();
        int sequence = features.EnumerateArray().Where(f => Text(f, "kind") == "rip-line").Select(Sequence).DefaultIfEmpty(0).Max();
        PlanPlaces places = new(crs, null);
        using Utf8JsonWriter json = new(stream, JsonText.Compact);
        json.WriteStartObject();
        foreach (JsonProperty member in plan.RootElement.EnumerateObject())
        {
            switch (member.Name)
            {
                case "keyline":
                    JsonText.Section(json, "keyline", () => Origin(json, ours, notes));
                    break;
                case "features":
                    json.WriteStartArray("features");
                    Features();
                    json.WriteEndArray();
                    break;
                default:
                    json.WritePropertyName(member.Name);
                    json.WriteRawValue(member.Value.GetRawText());
                    break;
            }
        }

        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);

        void Features()
        {
            Utf8Text line = new();
            bool noted = false;
            foreach (JsonElement feature in features.EnumerateArray())
            {
                string kind = Text(feature, "kind"), id = Text(feature, "id");
                if (!noted && kind is not ("boundary" or "avoid"))
                {
                    noted = true;
                    Notes(line);
                }

                if (kind == "avoid" && avoided.TryDequeue(out AvoidedArea? left))
                {
                    if (left is null)
                    {
                        continue;
                    }

                    if (revision.Freed!.IsLess(left))
                    {
                        Add(line, id, j => Copied(j, feature.GetProperty("properties")), left.Shape);
                        continue;
                    }
                }

                if (kind == "boundary" && revision.Freed is { IsWider: true })
                {
                    Add(line, id, j => Copied(j, feature.GetProperty("properties"), revision.Field.Boundary.Area), revision.Field.Boundary);
                    continue;
                }

                if (kind != "rip-line" || !changed.Contains(id))
                {
                    json.WriteRawValue("\n" + feature.GetRawText());
                    continue;
                }

                foreach (RevisedLine piece in lines[id])
                {
                    Add(line, piece.Id, j => Properties(j, feature.GetProperty("properties"), piece), piece.Line);
                }
            }

            foreach ((RevisedLine fresh, int number) in lines[""].Select((l, i) => (l, sequence + i + 1)))
            {
                Add(line, fresh.Id, j => Fresh(j, pattern!.Value, fresh, number), fresh.Line);
            }
        }

        void Notes(Utf8Text line)
        {
            foreach ((AvoidedArea note, int number) in revision.Field.Avoided.Skip(kept).Select((n, i) => (n, numbered + i + 1)))
            {
                Add(line, FormattableString.Invariant($"avoid-{number}"), j =>
                {
                    j.WriteString("kind", "avoid");
                    j.WriteString("id", FormattableString.Invariant($"avoid-{number}"));
                    j.WriteString("name", note.Name);
                    JsonText.Number(j, "setback_m", note.Setback, 3);
                    j.WriteBoolean("wet", note.IsWet);
                    if (note.HandDig > 0)
                    {
                        JsonText.Number(j, "hand_dig_m", note.HandDig, 3);
                    }

                    j.WriteBoolean("found", true);
                }, note.Shape);
            }
        }

        void Add(Utf8Text line, string id, Action<Utf8JsonWriter> properties, Geometry shape)
        {
            Geometry placed = places.Of(shape);
            GeoJsonShapes shapes = new([placed], GeoJsonShapes.DrivenDecimals);
            line.Clear();
            FeatureCollectionJson.AddFeature(line.Add("\n"u8), id, properties, j => shapes.Write(j, placed));
            json.WriteRawValue(line.Written, skipInputValidation: true);
        }
    }

    /// <summary>Writes the summary that belongs to it: what still holds of the plan's, and what changed. Figures of the whole layout are left out, for they were
    /// those of the old lines.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="planPath">The plan as it was; the plan.json beside it is read where there is one.</param>
    /// <param name="revision">What was made of it.</param>
    /// <param name="notes">The files of what was found.</param>
    public static void WriteSummary(Stream stream, string planPath, LayoutRevision revision, IReadOnlyList<PlanInput> notes) => Summary(stream, planPath, null, revision, notes);

    /// <summary>Writes the summary that belongs to it, with what the check found on ground set free.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="planPath">The plan as it was; the plan.json beside it is read where there is one.</param>
    /// <param name="crs">The projected system of its metres.</param>
    /// <param name="revision">What was made of it.</param>
    /// <param name="notes">The files of what was found.</param>
    public static void WriteSummary(Stream stream, string planPath, GroundCrs crs, LayoutRevision revision, IReadOnlyList<PlanInput> notes)
    {
        ArgumentNullException.ThrowIfNull(crs);
        Summary(stream, planPath, crs, revision, notes);
    }

    private static void Summary(Stream stream, string planPath, GroundCrs? crs, LayoutRevision revision, IReadOnlyList<PlanInput> notes)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(revision);
        ArgumentNullException.ThrowIfNull(notes);
        string path = Path.ChangeExtension(planPath, ".json");
        using JsonDocument? summary = File.Exists(path) ? Read(path) : null;
        HashSet<string> changed = [.. revision.Changes.Select(c => c.Line), .. revision.Changes.SelectMany(c => c.Pieces)];
        using Utf8JsonWriter json = new(stream, JsonText.Readable);
        json.WriteStartObject();
        foreach (JsonProperty member in summary is null ? [] : summary.RootElement.EnumerateObject().ToArray())
        {
            if (KeptOfSummary.Contains(member.Name) && !(member.Name == "field" && revision.Freed is not null))
            {
                member.WriteTo(json);
            }
            else if (member.Name == "inputs")
            {
                Inputs(json, member.Value, notes);
            }
            else if (member.Name == "findings" && member.Value.ValueKind == JsonValueKind.Array)
            {
                json.WriteStartArray("findings");
                foreach (JsonElement finding in member.Value.EnumerateArray().Where(f => !changed.Contains(Member(f, "line"))))
                {
                    finding.WriteTo(json);
                }

                foreach (LayoutFinding finding in crs is null ? [] : revision.Findings)
                {
                    PlanSummary.WriteFinding(json, finding, crs!);
                }

                json.WriteEndArray();
            }
        }

        JsonText.Section(json, "revision", () =>
        {
            json.WriteNumber("lines", revision.Lines.Count);
            json.WriteNumber("unchanged", revision.Lines.Count(l => !l.IsChanged));
            WriteChanges(json, revision.Changes);
        });
        json.WriteEndObject();
    }

    /// <summary>Writes the list of what changed as the member <c>changes</c>.</summary>
    /// <param name="json">Where to.</param>
    /// <param name="changes">What changed.</param>
    public static void WriteChanges(Utf8JsonWriter json, IEnumerable<LineChange> changes) => JsonText.Sections(json, "changes", changes, c =>
    {
        json.WriteString("change", WordOf(c.Kind));
        json.WriteString("line", c.Line);
        JsonText.Texts(json, "pieces", c.Pieces);
        JsonText.Number(json, "lost_m", c.Lost, 1);
        JsonText.Number(json, "gained_m", c.Gained, 1);
        json.WriteString("sentence", c.Sentence);
    });

    /// <summary>The word for a change in files.</summary>
    /// <param name="kind">The change.</param>
    public static string WordOf(LineChangeKind kind) => kind switch
    {
        LineChangeKind.Moved => "moved",
        LineChangeKind.Cut => "cut",
        LineChangeKind.Joined => "joined",
        LineChangeKind.Longer => "made longer",
        LineChangeKind.New => "new",
        _ => "gone",
    };

    private static void Origin(Utf8JsonWriter json, JsonElement ours, IReadOnlyList<PlanInput> notes)
    {
        foreach (JsonProperty member in ours.EnumerateObject())
        {
            if (member.Name == "inputs")
            {
                Inputs(json, member.Value, notes);
            }
            else
            {
                member.WriteTo(json);
            }
        }
    }

    private static void Inputs(Utf8JsonWriter json, JsonElement inputs, IReadOnlyList<PlanInput> notes)
    {
        json.WriteStartArray("inputs");
        foreach (JsonElement input in inputs.ValueKind == JsonValueKind.Array ? inputs.EnumerateArray() : default)
        {
            input.WriteTo(json);
        }

        foreach (PlanInput note in notes)
        {
            json.WriteStartObject();
            json.WriteString("role", note.Role);
            json.WriteString("file", note.File);
            json.WriteString("sha256", note.Sha256);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Properties(Utf8JsonWriter json, JsonElement properties, RevisedLine piece)
    {
        foreach (JsonProperty member in properties.EnumerateObject())
        {
            switch (member.Name)
            {
                case "id":
                    json.WriteString("id", piece.Id);
                    break;
                case "length_m":
                    JsonText.Number(json, "length_m", piece.Line.Length, 2);
                    break;
                case var name when Kept.Contains(name):
                    member.WriteTo(json);
                    break;
                default:
                    json.WriteNull(member.Name);
                    break;
            }
        }

        json.WriteString("was", piece.Source);
    }

    // A line where none was: what is known of it before it is measured.
    private static void Fresh(Utf8JsonWriter json, JsonElement pattern, RevisedLine line, int sequence)
    {
        foreach (JsonProperty member in pattern.EnumerateObject().Where(m => m.Name is not ("was" or "new")))
        {
            switch (member.Name)
            {
                case "kind":
                    member.WriteTo(json);
                    break;
                case "id":
                    json.WriteString("id", line.Id);
                    break;
                case "sequence":
                    json.WriteNumber("sequence", sequence);
                    break;
                case "guide":
                    json.WriteString("guide", "");
                    break;
                case "length_m":
                    JsonText.Number(json, "length_m", line.Line.Length, 2);
                    break;
                default:
                    json.WriteNull(member.Name);
                    break;
            }
        }

        json.WriteBoolean("new", true);
    }

    private static void Copied(Utf8JsonWriter json, JsonElement properties, double area = double.NaN)
    {
        foreach (JsonProperty member in properties.EnumerateObject())
        {
            if (member.Name == "area_m2" && !double.IsNaN(area))
            {
                JsonText.Number(json, "area_m2", area, 1);
            }
            else
            {
                member.WriteTo(json);
            }
        }
    }

    // The number at the end of a name; 0 where there is none.
    private static int Number(string id) => int.TryParse(id.AsSpan(id.LastIndexOf('-') + 1), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out int number) ? number : 0;

    private static int Sequence(JsonElement feature) => feature.GetProperty("properties").TryGetProperty("sequence", out JsonElement s) && s.ValueKind == JsonValueKind.Number && s.TryGetInt32(out int number) ? number : 0;

    private static JsonDocument Read(string path)
    {
        try
        {
            return JsonDocument.Parse(File.ReadAllBytes(path));
        }
        catch (Exception e) when (e is JsonException or IOException or UnauthorizedAccessException)
        {
            throw new GroundDataException($"{Path.GetFileName(path)} cannot be read ({e.Message.TrimEnd('.')}): make the plan again.", e);
        }
    }

    private static string Text(JsonElement feature, string name) => feature.TryGetProperty("properties", out JsonElement all) && all.ValueKind == JsonValueKind.Object ? Member(all, name) : "";

    private static string Member(JsonElement all, string name) => all.TryGetProperty(name, out JsonElement value) && value.ValueKind == JsonValueKind.String ? value.GetString()! : "";
}
