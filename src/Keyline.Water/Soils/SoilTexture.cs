namespace Keyline.Water;

/// <summary>Texture classes of the United States Department of Agriculture.</summary>
public enum SoilTexture
{
    /// <summary>Sand.</summary>
    Sand,

    /// <summary>Loamy sand.</summary>
    LoamySand,

    /// <summary>Sandy loam.</summary>
    SandyLoam,

    /// <summary>Loam.</summary>
    Loam,

    /// <summary>Silt loam.</summary>
    SiltLoam,

    /// <summary>Sandy clay loam.</summary>
    SandyClayLoam,

    /// <summary>Clay loam.</summary>
    ClayLoam,

    /// <summary>Silty clay loam.</summary>
    SiltyClayLoam,

    /// <summary>Sandy clay.</summary>
    SandyClay,

    /// <summary>Silty clay.</summary>
    SiltyClay,

    /// <summary>Clay.</summary>
    Clay,
}
