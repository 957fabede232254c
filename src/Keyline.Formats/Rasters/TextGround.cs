namespace Keyline.Formats;

/// <summary>What texts of heights cannot say for themselves: their coordinate system and the unit of their heights.</summary>
internal static class TextGround
{
    /// <summary>The system given, or that of the .prj file beside; says what is turned into metres.</summary>
    /// <exception cref="GroundDataException">There is none, or the unit of the heights is not known.</exception>
    public static GroundCrs Crs(string name, string kind, Sidecars beside, ElevationReadOptions options, List<string> notes)
    {
        GroundCrs? crs = options.Crs;
        if (crs is null)
        {
            string prj = beside.Prj() ?? throw new GroundDataException($"{name}: {kind} does not say which coordinate system (CRS) it is in, and there is no .prj file beside it; put one there, or say so when reading it, such as EPSG:32610.");
            try
            {
                crs = GroundCrs.FromWkt(prj);
            }
            catch (GroundDataException e)
            {
                throw new GroundDataException($"{name}: {e.Message}", e) { Fault = GroundDataFault.CoordinateSystem };
            }
        }

        double across = crs.MetresPerUnit;
        if (!LengthUnits.Same(across, 1.0))
        {
            notes.Add($"Coordinates were turned from {LengthUnits.NameOf(across)} units into metres.");
            if (options.MetresPerHeightUnit is null)
            {
                throw new GroundDataException($"{name}: its coordinates are in {LengthUnits.NameOf(across)} units and {kind} does not say what unit its heights are in; say whether heights are metres or feet.");
            }
        }

        if (options.MetresPerHeightUnit is null)
        {
            notes.Add(AssumedMetres.Note);
        }
        else if (options.MetresPerHeightUnit is { } unit && !LengthUnits.Same(unit, 1.0))
        {
            notes.Add($"Heights were turned from {LengthUnits.NameOf(unit)} units into metres.");
        }

        return crs;
    }
}
