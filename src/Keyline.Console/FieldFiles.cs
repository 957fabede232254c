using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console;

/// <summary>A field and what to avoid in it, from their files.</summary>
internal static class FieldFiles
{
    /// <summary>The ground that a plan of the field needs.</summary>
    public static GroundWindow Window(string fieldPath) => FieldReader.ReadWindow(fieldPath);

    public static FieldArea Read(string fieldPath, string? avoidPath, GroundCrs crs) =>
        FieldReader.ReadField(fieldPath, crs, avoidPath is null ? null : FieldReader.ReadAvoided(avoidPath, crs));
}
